"""What the result says of toes that a person placed."""

from typing import Final

import numpy as np

from beadcheck.quantity import Side
from beadcheck.result import ProblemRecord
from beadcheck.surface import Surface, UnscaledSurface
from beadcheck.toes import Toes

UNUSED: Final = (
    "No station lies between the points placed by hand, so they changed nothing: put the first and "
    "the last point further apart, on the part of the weld that is measured."
)


def hand_notices(toes: Toes, surface: Surface) -> list[ProblemRecord]:
    """Say how much of which toe a person placed, by its stations, a unit of the surface each."""
    lengths = {
        Side.LEFT: int(np.count_nonzero(toes.left_by_hand)),
        Side.RIGHT: int(np.count_nonzero(toes.right_by_hand)),
    }
    parts = [
        f"{_length_words(length, surface)} of the {side} toe"
        for side, length in lengths.items()
        if length
    ]
    if not parts:
        return [ProblemRecord(code="toes_by_hand_unused", message=UNUSED)]
    message = f"A person placed {' and '.join(parts)}; the uncertainty counts that in."
    return [ProblemRecord(code="toes_by_hand", message=message)]


def _length_words(length: int, surface: Surface) -> str:
    if isinstance(surface, UnscaledSurface):
        return f"{length * surface.px_per_unit:.0f} px"
    return f"{length} mm"
