"""Signs of the findings: shapes that differ without colour; the word always stands beside them."""

from typing import Final

import numpy as np

from beadcheck.limits import Finding
from beadcheck.report.drawing import BLUE, INK, MUTED, PAPER, VERMILION, Colour, Drawing

TICK: Final = np.array([[-0.5, 0.02], [-0.15, 0.38], [0.52, -0.38]])
CROSS: Final = (np.array([[-0.4, -0.4], [0.4, 0.4]]), np.array([[-0.4, 0.4], [0.4, -0.4]]))
TRIANGLE: Final = np.array([[0.0, -1.0], [1.08, 0.85], [-1.08, 0.85]])
"""All in radii of the sign, x right and y down from its middle."""

FINDING_COLOURS: Final[dict[Finding, Colour]] = {
    Finding.WITHIN: BLUE,
    Finding.OUTSIDE: VERMILION,
    Finding.UNDECIDED: INK,
    Finding.NOT_MEASURED: MUTED,
}


def draw_sign(
    drawing: Drawing, finding: Finding, centre: tuple[float, float], radius_px: float
) -> None:
    """Draw the sign of a finding.

    A disc with a tick for within, a square with a cross for outside, a triangle with a question
    mark for undecided, a ring with a dash for not measured.
    """
    middle = np.asarray(centre)
    colour = FINDING_COLOURS[finding]
    stroke = 0.24 * radius_px
    match finding:
        case Finding.WITHIN:
            drawing.disc(centre, radius_px, colour)
            drawing.line(middle + radius_px * TICK, PAPER, stroke)
        case Finding.OUTSIDE:
            corner = (centre[0] - 0.9 * radius_px, centre[1] - 0.9 * radius_px)
            drawing.box(corner, (1.8 * radius_px, 1.8 * radius_px), colour)
            for bar in CROSS:
                drawing.line(middle + 1.15 * radius_px * bar, PAPER, stroke)
        case Finding.UNDECIDED:
            drawing.polygon(middle + radius_px * TRIANGLE, colour)
            at = (centre[0], centre[1] + 0.72 * radius_px)
            drawing.text(at, "?", round(1.35 * radius_px), colour=PAPER, bold=True, anchor="ms")
        case Finding.NOT_MEASURED:
            drawing.disc(centre, radius_px, colour)
            drawing.disc(centre, 0.78 * radius_px, PAPER)
            dash = np.array([[-0.4, 0.0], [0.4, 0.0]])
            drawing.line(middle + radius_px * dash, colour, stroke)
