"""Where every photo lies along the strip: its segments, joints and seam adjusted together."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.result import TargetPartRecord
from beadcheck.whole_weld.view import View

Floats = NDArray[np.float64]

U_GLUED_MM: Final = 0.2
"""A glued joint is good to a few tenths of a millimetre (as one photo alone takes it)."""
U_READ_MM: Final = 0.03
"""Of one photo's step between two parts beyond what its fit says: no paper lies quite flat (an
estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strip:
    """A strip as it lies round a pipe, lengths in mm on the metal by the print scale used.

    Attributes
    ----------
    turn_mm
        One turn as printed for its pipe.
    shift_mm
        (S,) how far each segment lies from its printed place, against the first.
    excess_mm
        By how much one turn as it lies is longer than printed.
    covariance
        (S, S) of the shifts of the segments from the second on, and of the excess last.
    by_seam
        Photos that show where the strip closes.
    """

    turn_mm: float
    shift_mm: Floats
    excess_mm: float
    covariance: Floats
    by_seam: tuple[int, ...]

    @property
    def length_mm(self) -> float:
        """One turn as it lies."""
        return self.turn_mm + self.excess_mm

    @property
    def u_length_mm(self) -> float:
        """Its standard uncertainty, the print scale left out."""
        return float(np.sqrt(self.covariance[-1, -1]))

    def offset_mm(self, part: TargetPartRecord) -> tuple[float, float]:
        """What brings a place in the frame of a part to its place along the strip, and its u."""
        pull = _pull(part, self.shift_mm.size)
        value = float(pull @ np.append(self.shift_mm[1:], self.excess_mm))
        return value, float(np.sqrt(pull @ self.covariance @ pull))

    def u_shift_mm(self, segment: int) -> float:
        """Standard uncertainty of the step from the segment before to this one."""
        pull = np.zeros(self.shift_mm.size)
        pull[segment - 1] = 1.0
        if segment > 1:
            pull[segment - 2] = -1.0
        return float(np.sqrt(pull @ self.covariance @ pull))


def strip_of(views: Sequence[View], *, excess_mm: float, u_excess_mm: float) -> Strip:
    """Adjust the strip's segments and its turn to what all photos show of them.

    Parameters
    ----------
    excess_mm, u_excess_mm
        What is known of the turn without a photo of the seam.
    """
    count = 1 + max(part.segment for view in views for part in view.frame.parts)
    rows, values, weights = [], [], []
    for segment in range(1, count):
        row = np.zeros(count)
        row[segment - 1] = 1.0
        if segment > 1:
            row[segment - 2] = -1.0
        rows.append(row)
        values.append(0.0)
        weights.append(U_GLUED_MM**-2)
    rows.append(np.append(np.zeros(count - 1), 1.0))
    values.append(excess_mm)
    weights.append(u_excess_mm**-2)
    for view in views:
        first, *others = view.frame.parts
        for part in others:
            rows.append(_pull(part, count) - _pull(first, count))
            values.append(part.shift_mm)
            weights.append(1.0 / (part.shift_u_mm**2 + U_READ_MM**2))
    matrix, weight = np.array(rows), np.array(weights)
    covariance = np.linalg.inv((matrix.T * weight) @ matrix)
    solution = covariance @ (matrix.T @ (weight * np.array(values)))
    return Strip(
        turn_mm=float(np.mean([view.frame.turn_mm for view in views])),
        shift_mm=np.concatenate([[0.0], solution[:-1]]),
        excess_mm=float(solution[-1]),
        covariance=covariance,
        by_seam=tuple(view.photo for view in views if shows_seam(view)),
    )


def shows_seam(view: View) -> bool:
    """Whether a photo shows both ends of the strip."""
    return len({part.turn for part in view.frame.parts}) > 1


def _pull(part: TargetPartRecord, count: int) -> Floats:
    """How a part's place follows the shifts of the segments and the excess of the turn."""
    pull = np.zeros(count)
    if part.segment > 0:
        pull[part.segment - 1] = 1.0
    pull[-1] = part.turn
    return pull
