"""Where every photo lies along the strip: its segments, joints and seam adjusted together."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.result import TargetPartRecord
from beadcheck.whole_weld.lap import Lap, lap_of
from beadcheck.whole_weld.view import View

Floats = NDArray[np.float64]

U_GLUED_MM: Final = 0.2
"""A glued joint is good to a few tenths of a millimetre (as one photo alone takes it)."""
REACH_SIGMAS: Final = 3.0
"""How far about its likeliest length the turn is looked for."""
U_READ_MM: Final = 0.03
"""Of one photo's step between two parts beyond what its fit says: no paper lies quite flat (an
estimate)."""


class ClosedBy(StrEnum):
    """What tells the length of a strip's turn, plainest first."""

    SEAM = "seam"
    OVERLAP = "overlap"
    CURVATURE = "curvature"


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
    closed_by
        What tells the turn: a photo that shows where the strip closes, toes that two photos show
        across that place, or no more than what was known before.
    closing
        The photos that do.
    """

    turn_mm: float
    shift_mm: Floats
    excess_mm: float
    covariance: Floats
    closed_by: ClosedBy
    closing: tuple[int, ...]

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
    turn_mm = float(np.mean([view.frame.turn_mm for view in views]))
    seam = tuple(view.photo for view in views if shows_seam(view))
    laps = [] if seam else _laps(views, turn_mm, excess_mm, u_excess_mm)
    steps = [*_known(count, excess_mm, u_excess_mm), *_seen(views, count)]
    steps += [
        _Step(
            pull=_pull(one.frame.parts[0], count) - _pull(other.frame.parts[0], count),
            value_mm=lap.shift_mm,
            u_mm=lap.u_mm,
            turns=1,
        )
        for one, other, lap in laps
    ]
    matrix = np.array([step.row for step in steps])
    weight = np.array([step.u_mm**-2 for step in steps])
    values = np.array([step.value_mm for step in steps])
    covariance = np.linalg.inv((matrix.T * weight) @ matrix)
    solution = covariance @ (matrix.T @ (weight * values))
    lapping = tuple(sorted({each.photo for one, other, _ in laps for each in (one, other)}))
    return Strip(
        turn_mm=turn_mm,
        shift_mm=np.concatenate([[0.0], solution[:-1]]),
        excess_mm=float(solution[-1]),
        covariance=covariance,
        closed_by=ClosedBy.SEAM if seam else ClosedBy.OVERLAP if laps else ClosedBy.CURVATURE,
        closing=seam or lapping or tuple(view.photo for view in views),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Step:
    """One thing that is known of the segments' shifts and the excess, and its doubt.

    `turns` is how often the excess stands in it beside what `pull` says.
    """

    pull: Floats
    value_mm: float
    u_mm: float
    turns: int = 0

    @property
    def row(self) -> Floats:
        """(S,) how it follows the shifts from the second segment on, and the excess."""
        row = -self.pull if self.turns else self.pull.copy()
        row[-1] += self.turns
        return row


def _known(count: int, excess_mm: float, u_excess_mm: float) -> list[_Step]:
    """What is known without a photo: glued joints lie about as printed, and the turn's excess."""
    steps = []
    for segment in range(1, count):
        pull = np.zeros(count)
        pull[segment - 1] = 1.0
        if segment > 1:
            pull[segment - 2] = -1.0
        steps.append(_Step(pull=pull, value_mm=0.0, u_mm=U_GLUED_MM))
    excess = np.append(np.zeros(count - 1), 1.0)
    return [*steps, _Step(pull=excess, value_mm=excess_mm, u_mm=u_excess_mm)]


def _seen(views: Sequence[View], count: int) -> list[_Step]:
    """What the photos show: every further part against the one that gives their frame."""
    return [
        _Step(
            pull=_pull(part, count) - _pull(view.frame.parts[0], count),
            value_mm=part.shift_mm,
            u_mm=float(np.hypot(part.shift_u_mm, U_READ_MM)),
        )
        for view in views
        for part in view.frame.parts[1:]
    ]


def _laps(
    views: Sequence[View], turn_mm: float, excess_mm: float, u_excess_mm: float
) -> list[tuple[View, View, Lap]]:
    """Pairs of photos whose toes meet across the place where the strip closes."""
    found = []
    for one in views:
        for other in views:
            lap = lap_of(
                one,
                other,
                turn_mm=turn_mm,
                about_mm=excess_mm,
                reach_mm=REACH_SIGMAS * u_excess_mm,
            )
            if other is not one and lap is not None:
                found.append((one, other, lap))
    return found


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
