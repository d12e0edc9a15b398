"""The flags of ``beadcheck measure``: their names, types and help."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from beadcheck.coupon import Position, Process, Progression, WeldPass

Photos = Annotated[
    list[Path] | None,
    typer.Argument(metavar="PHOTO", help="Photos, or folders of photos.", show_default=False),
]
Kind = Annotated[
    Literal["face", "side-on", "light-line", "pair"],
    typer.Option(help="How the photos were taken; this version measures face photos."),
]
PlateFlag = Annotated[
    bool, typer.Option("--plate", help="The coupon is a plate, as it is unless said.")
]
Pipe = Annotated[
    str | None,
    typer.Option(metavar="SIZE", help='The coupon is a pipe of this size, as in "NPS 8 SCH 60".'),
]
OutsideDiameter = Annotated[
    float | None,
    typer.Option(metavar="MM", help="The coupon is a pipe of this outside diameter."),
]
Wall = Annotated[
    float | None, typer.Option(metavar="MM", help="Thickness of the wall, or of the plate.")
]
ProcessFlag = Annotated[Process | None, typer.Option(help="Welding process of the pass.")]
PositionFlag = Annotated[Position | None, typer.Option(help="Position of the coupon.")]
ProgressionFlag = Annotated[Progression | None, typer.Option(help="Direction of vertical welding.")]
PassFlag = Annotated[WeldPass | None, typer.Option("--pass", help="Which pass the photos show.")]
PeakTime = Annotated[
    float | None,
    typer.Option(metavar="S", help="Peak time of one current pulse, in seconds, from the machine."),
]
BackgroundTime = Annotated[
    float | None,
    typer.Option(metavar="S", help="Background time of one current pulse, in seconds."),
]
Limits = Annotated[
    str | None,
    typer.Option(
        metavar="NAME|FILE", help="Limits to compare with: `beadcheck limits` lists them."
    ),
]
Target = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="Target file of a printed board other than our own."),
]
NoTarget = Annotated[
    bool,
    typer.Option(
        "--no-target",
        help="The photo shows no target: measure what needs no scale, in pixels and percent.",
    ),
]
PrintScale = Annotated[
    float | None,
    typer.Option(metavar="MM", help="Length of the check bar on your print, measured with a rule."),
]
Along = Annotated[
    tuple[str, str] | None,
    typer.Option(
        metavar="X0,Y0 X1,Y1", help="The two ends of the weld in the upright photo, in pixels."
    ),
]
Toes = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="Toes placed by hand: CSV with toe,x_px,y_px (toe is left or right; two points or "
        "more along a toe; pixels of the upright photo) and, for several photos, file.",
    ),
]
Out = Annotated[
    Path | None,
    typer.Option(
        metavar="DIR",
        help="Write result.json, stations.csv and an annotated picture of each photo there.",
    ),
]
NoPicture = Annotated[bool, typer.Option("--no-picture", help="With --out, draw no pictures.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the result as JSON, and nothing else.")]
Schema = Annotated[
    bool, typer.Option("--schema", help="Print the JSON Schema of the result, and stop.")
]
Strict = Annotated[
    bool, typer.Option("--strict", help="Leave exit code 3 where a finding is 'outside'.")
]
Inch = Annotated[bool, typer.Option("--inch", help="Show inches beside millimetres.")]
