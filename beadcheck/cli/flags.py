"""The flags of ``beadcheck measure``: their names, types and help."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from beadcheck.cli import headings

Photos = Annotated[
    list[Path] | None,
    typer.Argument(metavar="PHOTO", help="Photos, or folders of photos.", show_default=False),
]
Kind = Annotated[
    Literal["face", "side-on", "light-line", "pair"],
    typer.Option(
        help="How the photos named first were taken: from above, along the tangent of a pipe, "
        "with a line of light across, or all of one place as a pair.",
        rich_help_panel=headings.PHOTOS,
    ),
]
SideOn = Annotated[
    list[Path] | None,
    typer.Option(
        metavar="FILE",
        help="Side-on photo of the same coupon (pipe); may be given repeatedly.",
        rich_help_panel=headings.PHOTOS,
    ),
]
LightLine = Annotated[
    list[Path] | None,
    typer.Option(
        metavar="FILE",
        help="Light-line photo of the same coupon; may be given repeatedly.",
        rich_help_panel=headings.PHOTOS,
    ),
]
PairFlag = Annotated[
    list[Path] | None,
    typer.Option(
        "--pair",
        metavar="FILE",
        help="Photos of one place from 10 to 25 degrees apart; give it twice or more.",
        rich_help_panel=headings.PHOTOS,
    ),
]
Step = Annotated[
    str | None,
    typer.Option(
        metavar="MM[,U]",
        help="Thickness of the known step in view, 3 to 6 mm, and its uncertainty (k = 2).",
        rich_help_panel=headings.SCALE,
    ),
]
StepAt = Annotated[
    list[str] | None,
    typer.Option(
        metavar="[FILE=]X,Y",
        help="Where the step's top lies in the upright photo, in pixels; may be given repeatedly.",
        rich_help_panel=headings.SCALE,
    ),
]
LightAngle = Annotated[
    str | None,
    typer.Option(
        metavar="DEG[,U]",
        help="Angle between the sheet of light and the normal of the metal, and its uncertainty "
        "(k = 2), instead of a step.",
        rich_help_panel=headings.SCALE,
    ),
]
PlateFlag = Annotated[
    bool,
    typer.Option(
        "--plate",
        help="The coupon is a plate, as it is unless said.",
        rich_help_panel=headings.COUPON,
    ),
]
Pipe = Annotated[
    str | None,
    typer.Option(
        metavar="SIZE",
        help='The coupon is a pipe of this size, as in "NPS 8 SCH 60".',
        rich_help_panel=headings.COUPON,
    ),
]
OutsideDiameter = Annotated[
    float | None,
    typer.Option(
        metavar="MM",
        help="The coupon is a pipe of this outside diameter.",
        rich_help_panel=headings.COUPON,
    ),
]
Wall = Annotated[
    float | None,
    typer.Option(
        metavar="MM",
        help="Thickness of the wall, or of the plate.",
        rich_help_panel=headings.COUPON,
    ),
]
Bore = Annotated[
    float | None,
    typer.Option(
        metavar="MM",
        help="Bore of the pipe as measured, for its root side; else diameter and wall tell it.",
        rich_help_panel=headings.COUPON,
    ),
]
Clock = Annotated[
    list[str] | None,
    typer.Option(
        metavar="[FILE=]DEG",
        help="Clock position that a photo without a strip shows, in degrees from 12 o'clock; may "
        "be given repeatedly.",
        rich_help_panel=headings.COUPON,
    ),
]
Sectors = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        min=2,
        max=72,
        help="In how many sectors of the clock a weld of several photos is told: 12 unless said; "
        "on plate, in how many stretches.",
        rich_help_panel=headings.OUTPUT,
    ),
]
PeakTime = Annotated[
    float | None,
    typer.Option(
        metavar="S",
        help="Peak time of one current pulse, in seconds, from the machine.",
        rich_help_panel=headings.PULSES,
    ),
]
BackgroundTime = Annotated[
    float | None,
    typer.Option(
        metavar="S",
        help="Background time of one current pulse, in seconds.",
        rich_help_panel=headings.PULSES,
    ),
]
Limits = Annotated[
    str | None,
    typer.Option(
        metavar="NAME|FILE",
        help="Limits to compare with: `beadcheck limits` lists them.",
        rich_help_panel=headings.LIMITS,
    ),
]
Guard = Annotated[
    Literal["full", "95"] | None,
    typer.Option(
        help="Guard band between within and outside: the full expanded uncertainty, or 0.83 of it "
        "(95 %). Without it, as the limit set says.",
        rich_help_panel=headings.LIMITS,
    ),
]
Target = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="Target file of a printed board other than our own.",
        rich_help_panel=headings.SCALE,
    ),
]
NoTarget = Annotated[
    bool,
    typer.Option(
        "--no-target",
        help="The photo shows no target: measure what needs no scale, in pixels and percent.",
        rich_help_panel=headings.SCALE,
    ),
]
PrintScale = Annotated[
    float | None,
    typer.Option(
        metavar="MM",
        help="Length of the check bar on your print, measured with a rule.",
        rich_help_panel=headings.SCALE,
    ),
]
Along = Annotated[
    tuple[str, str] | None,
    typer.Option(
        metavar="X0,Y0 X1,Y1",
        help="The two ends of the weld in the upright photo, in pixels.",
        rich_help_panel=headings.PHOTOS,
    ),
]
Toes = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="Toes placed by hand: CSV with toe,x_px,y_px (toe is left or right; two points or "
        "more along a toe; pixels of the upright photo) and, for several photos, file.",
        rich_help_panel=headings.PHOTOS,
    ),
]
NoCamera = Annotated[
    bool,
    typer.Option(
        "--no-camera",
        help="Do not use a calibration that `beadcheck camera` stored.",
        rich_help_panel=headings.SCALE,
    ),
]
Out = Annotated[
    Path | None,
    typer.Option(
        metavar="DIR",
        help="Write result.json, stations.csv and an annotated picture of each photo there; "
        "of several photos of one weld also the whole weld, laid flat and in plots.",
        rich_help_panel=headings.OUTPUT,
    ),
]
NoPicture = Annotated[
    bool,
    typer.Option(
        "--no-picture", help="With --out, draw no pictures.", rich_help_panel=headings.OUTPUT
    ),
]
AsJson = Annotated[
    bool,
    typer.Option(
        "--json",
        help="Print the result as JSON, and nothing else.",
        rich_help_panel=headings.OUTPUT,
    ),
]
Schema = Annotated[
    bool,
    typer.Option(
        "--schema",
        help="Print the JSON Schema of the result, and stop.",
        rich_help_panel=headings.OUTPUT,
    ),
]
Strict = Annotated[
    bool,
    typer.Option(
        "--strict",
        help="Leave exit code 3 where a finding is 'outside'.",
        rich_help_panel=headings.LIMITS,
    ),
]
Inch = Annotated[
    bool,
    typer.Option(
        "--inch",
        help="Show inches beside millimetres, and take limits in inches where they are printed so.",
        rich_help_panel=headings.OUTPUT,
    ),
]
Sheet = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE.pdf",
        help="Print a sheet of one or two pages: pictures, findings, lines for the inspector.",
        rich_help_panel=headings.OUTPUT,
    ),
]
PaperFlag = Annotated[
    Literal["a4", "letter"],
    typer.Option("--paper", help="Paper of the sheet.", rich_help_panel=headings.OUTPUT),
]
