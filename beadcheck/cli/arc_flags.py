"""The flags on arc and run, of ``beadcheck arc`` and ``measure``: their names, types and help."""

from typing import Annotated

import typer

from beadcheck.cli import headings
from beadcheck.coupon import Process, RippleLine, TimesAre, TorchMotion, Weave

Inch = Annotated[
    bool,
    typer.Option("--inch", help="Show inches beside millimetres.", rich_help_panel=headings.OUTPUT),
]
ProcessFlag = Annotated[
    Process | None,
    typer.Option(
        help="Welding process, whose efficiency heat input counts.", rich_help_panel=headings.COUPON
    ),
]
Current = Annotated[
    str | None,
    typer.Option(
        metavar="A[,U]", help="Welding current, and its U (k = 2).", rich_help_panel=headings.ARC
    ),
]
Volts = Annotated[
    str | None,
    typer.Option(
        metavar="V[,U]",
        help="Arc voltage; of a pulsed arc, one for peak and background",
        rich_help_panel=headings.ARC,
    ),
]
PeakCurrent = Annotated[
    str | None,
    typer.Option(
        metavar="A[,U]", help="Peak current of a pulsed arc.", rich_help_panel=headings.ARC
    ),
]
BackgroundCurrent = Annotated[
    str | None,
    typer.Option(
        metavar="A[,U]|P%",
        help="Background current, in ampere or, as 30%, in percent of the peak.",
        rich_help_panel=headings.ARC,
    ),
]
PeakVolts = Annotated[
    str | None,
    typer.Option(metavar="V[,U]", help="Arc voltage on the peak.", rich_help_panel=headings.ARC),
]
BackgroundVolts = Annotated[
    str | None,
    typer.Option(
        metavar="V[,U]", help="Arc voltage on the background.", rich_help_panel=headings.ARC
    ),
]
PeakTime = Annotated[
    float | None,
    typer.Option(
        metavar="N", help="Number beside the peak time's knob.", rich_help_panel=headings.PULSES
    ),
]
BackgroundTime = Annotated[
    float | None,
    typer.Option(
        metavar="N",
        help="Number beside the background time's knob.",
        rich_help_panel=headings.PULSES,
    ),
]
TimesAreFlag = Annotated[
    TimesAre | None,
    typer.Option(
        help="What these two numbers count; nothing is worked out from dial marks.",
        rich_help_panel=headings.PULSES,
    ),
]
Power = Annotated[
    str | None,
    typer.Option(
        metavar="W[,U]",
        help="Mean instantaneous power, of a machine that shows it.",
        rich_help_panel=headings.ARC,
    ),
]
Energy = Annotated[
    str | None,
    typer.Option(
        metavar="KJ[,U]",
        help="Energy that the machine counted along the run, with --run-length.",
        rich_help_panel=headings.ARC,
    ),
]
Speed = Annotated[
    str | None,
    typer.Option(
        metavar="MM/MIN[,U]", help="Travel speed, where it is known.", rich_help_panel=headings.RUN
    ),
]
RunLength = Annotated[
    str | None,
    typer.Option(
        metavar="MM[,U]",
        help="Length of the run, with --arc-time or --energy.",
        rich_help_panel=headings.RUN,
    ),
]
ArcTime = Annotated[
    str | None,
    typer.Option(
        metavar="S[,U]",
        help="Time that the arc burned along the run.",
        rich_help_panel=headings.RUN,
    ),
]
Spacing = Annotated[
    str | None,
    typer.Option(
        metavar="MM[,U]", help="Ripple spacing of a pulsed pass.", rich_help_panel=headings.PULSES
    ),
]
RipplesAt = Annotated[
    RippleLine,
    typer.Option(
        help="Where the ripples were counted; of a weave, along an edge.",
        rich_help_panel=headings.PULSES,
    ),
]
Spot = Annotated[
    str | None,
    typer.Option(
        metavar="MM[,U]",
        help="Length of one pulse's spot under a standing torch.",
        rich_help_panel=headings.PULSES,
    ),
]
Motion = Annotated[
    TorchMotion | None,
    typer.Option(
        help="The torch stands on the peak and steps on the background, or travels steadily.",
        rich_help_panel=headings.PULSES,
    ),
]
WeaveFlag = Annotated[
    Weave,
    typer.Option(
        help="No weave, or pauses that alternate between the edges.",
        rich_help_panel=headings.PULSES,
    ),
]
Overlap = Annotated[
    float | None,
    typer.Option(
        metavar="PERCENT",
        help="Overlap wanted: what travel or pulse time gives it.",
        rich_help_panel=headings.PULSES,
    ),
]
Pipe = Annotated[
    str | None,
    typer.Option(
        metavar="SIZE", help='Pipe to go round, as in "NPS 8".', rich_help_panel=headings.COUPON
    ),
]
CurrentRange = Annotated[
    str | None,
    typer.Option(
        metavar="LOW,HIGH[,electrode]",
        help="Currents (of the peak, where it pulses) that the procedure or the electrode allows: "
        "advice never goes beyond.",
        rich_help_panel=headings.ARC,
    ),
]
