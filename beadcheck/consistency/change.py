"""Before and after: whether a difference is more than repeat measurement alone would give."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.stats import t

from beadcheck.quantity import COVERAGE_FACTOR

CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One weld's value with the standard uncertainty of measuring it, in one unit."""

    value: float
    standard_uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Difference of the mean after from the mean before, in the values' unit.

    Attributes
    ----------
    by_measuring
        How far repeat measurement of the same welds alone would move the difference (k = 2).
    by_welding
        How far this welder's own scatter from weld to weld would (95 %, Welch); None where either
        side has a single weld.
    """

    before: float
    after: float
    welds_before: int
    welds_after: int
    by_measuring: float
    by_welding: float | None

    @property
    def difference(self) -> float:
        """After less before."""
        return self.after - self.before

    @property
    def exceeds_measuring(self) -> bool:
        """Whether the difference is more than repeat measurement alone would give."""
        return abs(self.difference) > self.by_measuring

    @property
    def exceeds_welding(self) -> bool | None:
        """Whether it is more than the welds' own scatter would give; None where not known."""
        return None if self.by_welding is None else abs(self.difference) > self.by_welding


def change(
    before: Sequence[Reading], after: Sequence[Reading], *, repeatability: float | None = None
) -> Change:
    """Compare two sets of welds.

    Parameters
    ----------
    repeatability
        Standard deviation of measuring the same weld again, from a repeatability study, in the
        values' unit. It differs from photo to photo, so it shrinks in a mean. Without one, the
        stated uncertainties serve, whose parts may be common to a side: they do not shrink.

    Raises
    ------
    ValueError
        A side without a weld.
    """
    if not before or not after:
        msg = "a change wants at least one weld before and one after"
        raise ValueError(msg)
    sides = [np.array([reading.value for reading in side]) for side in (before, after)]
    if repeatability is None:
        squares = [float(np.mean([r.standard_uncertainty**2 for r in s])) for s in (before, after)]
    else:
        squares = [repeatability**2 / side.size for side in sides]
    return Change(
        before=float(sides[0].mean()),
        after=float(sides[1].mean()),
        welds_before=len(before),
        welds_after=len(after),
        by_measuring=COVERAGE_FACTOR * float(np.sqrt(sum(squares))),
        by_welding=_welch(*sides),
    )


def _welch(before: np.ndarray, after: np.ndarray) -> float | None:
    """Half-width of Welch's confidence interval of a difference of means."""
    if min(before.size, after.size) < 2:
        return None
    shares = np.array([side.var(ddof=1) / side.size for side in (before, after)])
    if not shares.sum() > 0.0:
        return 0.0
    free = shares.sum() ** 2 / (shares**2 / np.array([before.size - 1, after.size - 1])).sum()
    return float(t.ppf(0.5 * (1 + CONFIDENCE), free) * np.sqrt(shares.sum()))
