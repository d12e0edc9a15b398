"""How a strip is laid round a pipe or into it: the words on its sheet."""

from beadcheck.target.design import TargetDesign
from beadcheck.target.seam import turn_mm
from beadcheck.target.sheet import WELD_STEPS


def whole_turn_mm(design: TargetDesign) -> float:
    """Printed length of one turn of a strip."""
    return turn_mm(design) or 0.0


def laying_steps(design: TargetDesign) -> tuple[str, str, str]:
    """How a strip is laid, closed and photographed."""
    closes = (
        f"edge meets the line “1 turn” at {whole_turn_mm(design):.1f} mm. Each mm off is 0.32 mm of"
    )
    if design.bore_mm is not None:
        return (
            "Lay it into the pipe, print inward, weld edge (▲) 3 to 10 mm from the root, the 12 "
            "o'clock line at the punch mark. The clock grows clockwise, seen from this open end.",
            f"Press it tight to the metal, its tail under the start edge: in the nominal bore the "
            f"{closes} diameter. Hold it with magnets or tape.",
            "Photo through this open end, the lens at its opposite edge: about six photos all the "
            "way round, each sharp on strip and root, lamp from the other end.",
        )
    return (
        "Wrap it round the pipe, weld edge (▲) 3 to 10 mm from the toe, the 12 o'clock line at the "
        "punch mark. The clock grows clockwise, seen from the strip's side of the weld.",
        f"Tuck the tail under the start edge and read the scale there: on the nominal pipe the "
        f"{closes} diameter. Fix it with tape.",
        WELD_STEPS[1],
    )
