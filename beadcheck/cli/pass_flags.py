"""The flags of ``beadcheck measure`` that say which pass it is and how it was welded."""

from typing import Annotated

import typer

from beadcheck.cli import headings
from beadcheck.coupon import (
    MOST_LAYERS,
    Polarity,
    Position,
    Process,
    Progression,
    StripSide,
    WeldPass,
)

PassFlag = Annotated[
    WeldPass | None,
    typer.Option("--pass", help="Which pass the photos show.", rich_help_panel=headings.COUPON),
]
Depth = Annotated[
    str | None,
    typer.Option(
        metavar="MM[,U]",
        help="Depth of a root, second or fill pass below the surface, down to its edge, and its "
        "uncertainty (k = 2). Without it, what is usual for the pass in such a wall.",
        rich_help_panel=headings.COUPON,
    ),
]
RootGap = Annotated[
    str | None,
    typer.Option(
        metavar="LEAST,MOST",
        help="Root opening that the procedure allows, in mm, for a fit-up: from, to.",
        rich_help_panel=headings.COUPON,
    ),
]
Layer = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        min=1,
        max=MOST_LAYERS,
        help="Which layer the pass is of; the root is 1.",
        rich_help_panel=headings.COUPON,
    ),
]
Bead = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        min=1,
        max=MOST_LAYERS,
        help="Which bead of its layer, in the order of welding.",
        rich_help_panel=headings.COUPON,
    ),
]
Beads = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        min=1,
        max=MOST_LAYERS,
        help="How many beads lie side by side on top; left out, the photo tells.",
        rich_help_panel=headings.COUPON,
    ),
]
GrooveWidth = Annotated[
    float | None,
    typer.Option(
        metavar="MM",
        help="Width of the groove at the surface before welding: tells how far the cap reaches "
        "past its edges.",
        rich_help_panel=headings.COUPON,
    ),
]
ProcessFlag = Annotated[
    Process | None,
    typer.Option(help="Welding process of the pass.", rich_help_panel=headings.COUPON),
]
PolarityFlag = Annotated[
    Polarity | None,
    typer.Option(
        help="Electrode negative (DCEN), electrode positive (DCEP), or AC.",
        rich_help_panel=headings.COUPON,
    ),
]
PositionFlag = Annotated[
    Position | None, typer.Option(help="Position of the coupon.", rich_help_panel=headings.COUPON)
]
ProgressionFlag = Annotated[
    Progression | None,
    typer.Option(help="Direction of vertical welding.", rich_help_panel=headings.COUPON),
]
StripSideFlag = Annotated[
    StripSide | None,
    typer.Option(
        help="In 2G and 6G: whether the strip lies on the high or the low side of the weld, which "
        "tells the toes apart.",
        rich_help_panel=headings.COUPON,
    ),
]
