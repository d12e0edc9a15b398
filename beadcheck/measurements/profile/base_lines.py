"""The parent metal on both sides of the weld: where it is, and the line on either side."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dposv

from beadcheck.errors.profile_reading import TooLittleBaseMetalError
from beadcheck.measurements.profile.section import Floats, Section, robust_spread
from beadcheck.quantity import Side

NEAREST_MM: Final = 1.2
FARTHEST_MM: Final = 5.0
"""How far outside its toe a base line is fitted, so that toe radius and undercut stay out."""
NEAREST_WHERE_SHORT_MM: Final = 0.6
"""The same where little base metal is in view: a usual toe radius stays out, just so."""
FARTHEST_FOR_A_STEP_MM: Final = 10.0
"""The same for linear misalignment, whose lever reaches across the whole weld."""
LEAST_BASE_MM: Final = 1.2
"""Length of parent metal that a base line needs."""
FEWEST_PLACES: Final = 4
"""Places that a line needs on either side."""
OUTSIDE_UNDERCUT_MM: Final = 0.3
"""How far outside the place where the metal leaves the line the fit stays."""
ALIKE_SLOPES: Final = math.radians(1.0)
"""Standard deviation of the bend between the parts: angular distortion of a single-sided butt weld
is mostly below 2 degrees (common practice)."""
ALIKE: Final = np.outer([0.0, 1.0, 0.0, -1.0], [0.0, 1.0, 0.0, -1.0]) / ALIKE_SLOPES**2
"""Information of that on left height, left slope, right height, right slope."""
OUTLIER_SPREADS: Final = 4.685
"""Where Tukey's biweight gives no weight: 95 % efficient on normal errors (Huber, 1981)."""

LEAST_TRUST: Final = 1e-4
"""Weight that even an outlier keeps, so that a side of nothing but outliers still has a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseLine:
    """Line of the parent metal on one side, in the levelled frame.

    Attributes
    ----------
    from_mm, to_mm
        Where it was fitted.
    """

    height_at_zero_mm: float
    slope: float
    from_mm: float
    to_mm: float

    def at(self, across_mm: float) -> float:
        """Height of the line at a place."""
        return self.height_at_zero_mm + self.slope * across_mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BaseLines:
    """Both lines, and the (4, 4) covariance of left height, left slope, right height, right slope.

    Heights are those at place zero.
    """

    left: BaseLine
    right: BaseLine
    covariance: NDArray[np.float64]

    def of(self, side: Side) -> BaseLine:
        """Line of one side."""
        return self.left if side is Side.LEFT else self.right

    def u_of(self, side: Side, across_mm: float) -> float:
        """Standard uncertainty of one side's line at a place, in mm."""
        low, high = (0, 1) if side is Side.LEFT else (2, 3)
        cov = self.covariance
        variance = cov[low, low] + across_mm * (2.0 * cov[low, high] + across_mm * cov[high, high])
        return math.sqrt(max(0.0, float(variance)))

    def u_slope_of(self, side: Side) -> float:
        """Standard uncertainty of one side's slope."""
        at = 1 if side is Side.LEFT else 3
        return math.sqrt(self.covariance[at, at])

    def u_step(self, across_mm: float) -> float:
        """Standard uncertainty of the step from left line to right at a place, in mm."""
        gradient = np.array([-1.0, -across_mm, 1.0, across_mm])
        return math.sqrt(max(0.0, float(gradient @ self.covariance @ gradient)))

    def chord(self, left_mm: float, right_mm: float) -> "Chord":
        """Line that joins two places, one on either line."""
        return Chord(lines=self, left_mm=left_mm, right_mm=right_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chord:
    """Line from the left line at one place to the right line at another."""

    lines: BaseLines
    left_mm: float
    right_mm: float

    def at(self, across_mm: Floats | float) -> Floats:
        """Heights of the line at places."""
        low, high = self.lines.left.at(self.left_mm), self.lines.right.at(self.right_mm)
        share = (np.asarray(across_mm) - self.left_mm) / (self.right_mm - self.left_mm)
        return np.asarray(low + share * (high - low), dtype=np.float64)

    def u_at(self, across_mm: float) -> float:
        """Standard uncertainty of its height at a place, in mm."""
        share = (across_mm - self.left_mm) / (self.right_mm - self.left_mm)
        keep = 1.0 - share
        gradient = np.array([keep, keep * self.left_mm, share, share * self.right_mm])
        return math.sqrt(max(0.0, float(gradient @ self.lines.covariance @ gradient)))

    @property
    def u_mean(self) -> float:
        """Standard uncertainty of the mean height of the line, in mm."""
        return self.u_at(0.5 * (self.left_mm + self.right_mm))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelLine:
    """What a profile is levelled on: through the middle of the chord between the toes.

    Its slope is that of the line through both stretches of parent metal or, where the parts lie at
    different heights, the mean of theirs.
    """

    chord: Chord
    stepped: bool

    @property
    def middle_mm(self) -> float:
        """Place midway between the toes."""
        return 0.5 * (self.chord.left_mm + self.chord.right_mm)

    @property
    def height_mm(self) -> float:
        """Height of the line there."""
        return float(self.chord.at(self.middle_mm))

    @property
    def slope(self) -> float:
        """Slope of the line."""
        lines = self.chord.lines
        values = (
            lines.left.height_at_zero_mm,
            lines.left.slope,
            lines.right.height_at_zero_mm,
            lines.right.slope,
        )
        return float(self._slope_gradient() @ np.array(values))

    def u_at(self, across_mm: Floats) -> Floats:
        """(N,) standard uncertainty of its height at places, in mm."""
        chord = self.chord
        middle = 0.5 * np.array([1.0, chord.left_mm, 1.0, chord.right_mm])
        # The height grows along with the slope: middle + away x turn is its gradient.
        away, turn = across_mm - self.middle_mm, self._slope_gradient()
        both = np.stack([middle, turn])
        (own, shared), (_, tilt) = (both @ chord.lines.covariance @ both.T).tolist()
        variance = own + away * (2.0 * shared + away * tilt)
        return np.asarray(np.sqrt(np.maximum(variance, 0.0)), dtype=np.float64)

    def _slope_gradient(self) -> NDArray[np.float64]:
        if self.stepped:
            return np.array([0.0, 0.5, 0.0, 0.5])
        left, right = self.chord.lines.left, self.chord.lines.right
        low, high = 0.5 * (left.from_mm + left.to_mm), 0.5 * (right.from_mm + right.to_mm)
        return np.array([-1.0, -low, 1.0, high]) / (high - low)


def base_window(
    section: Section, side: Side, *, toe_mm: float, leaves_mm: float, farthest_mm: float
) -> tuple[float, float]:
    """Stretch of parent metal on one side, outside its toe and what lies at it.

    Parameters
    ----------
    leaves_mm
        Where the metal leaves the line, toe radius and undercut included.

    Raises
    ------
    TooLittleBaseMetalError
        If less than `LEAST_BASE_MM` of it is seen.
    """
    outward = -1.0 if side is Side.LEFT else 1.0
    for nearest_mm in (NEAREST_MM, NEAREST_WHERE_SHORT_MM):
        reach = max(nearest_mm, outward * (leaves_mm - toe_mm) + OUTSIDE_UNDERCUT_MM)
        near, far = reach, max(farthest_mm, reach + LEAST_BASE_MM)
        low, high = sorted((toe_mm + outward * near, toe_mm + outward * far))
        span = section.span(low, high)
        inside = section.x_mm[span][section.seen[span]]
        length_mm = len(inside) * section.step_mm
        if length_mm >= LEAST_BASE_MM:
            return float(inside[0]), float(inside[-1])
    raise TooLittleBaseMetalError(side.value, length_mm, LEAST_BASE_MM)


def fit_base_lines(
    section: Section, left_mm: tuple[float, float], right_mm: tuple[float, float]
) -> BaseLines:
    """Robust lines through the parent metal of both sides, nearly parallel.

    Parameters
    ----------
    left_mm, right_mm
        Stretch of parent metal on either side.

    Raises
    ------
    TooLittleBaseMetalError
        If hardly any of a stretch is seen.
    """
    spans = [section.span(*left_mm), section.span(*right_mm)]
    counts = [np.count_nonzero(section.seen[span]) for span in spans]
    for side, count in zip(Side, counts, strict=True):
        if count < FEWEST_PLACES:
            raise TooLittleBaseMetalError(side.value, count * section.step_mm, LEAST_BASE_MM)
    # A place that both stretches share is the left one's.
    spans[1] = slice(max(spans[0].stop, spans[1].start), spans[1].stop)
    x, z, own = (
        np.concatenate([values[span][section.seen[span]] for span in spans])
        for values in (section.x_mm, section.z_mm, section.u_mm)
    )
    # Rows: height at zero and slope of the left line, of the right one, and what was measured, in
    # the heights' own errors.
    rows = np.zeros((5, len(x)))
    rows[0, : counts[0]] = rows[2, counts[0] :] = 1.0
    rows[1], rows[3], rows[4] = rows[0] * x, rows[2] * x, z
    rows /= own
    unknown, measured = rows[:4], rows[4]
    trust: Floats | float = 1.0
    scale = 1.0
    for _ in range(4):
        moments = (unknown * (trust / (scale**2 * section.inflation))) @ rows.T
        information = moments[:, :4] + ALIKE
        _, solved, _ = dposv(information, moments[:, 4])
        residual = measured - solved @ unknown
        # Where the metal is rougher than the heights' own errors, the roughness counts.
        scale = max(1.0, robust_spread(residual))
        inlying = np.maximum(1.0 - (residual * (1.0 / (OUTLIER_SPREADS * scale))) ** 2, 0.0)
        trust = np.maximum(inlying**2, LEAST_TRUST)
    left_height, left_slope, right_height, right_slope = solved.tolist()
    return BaseLines(
        left=BaseLine(
            height_at_zero_mm=left_height,
            slope=left_slope,
            from_mm=left_mm[0],
            to_mm=left_mm[1],
        ),
        right=BaseLine(
            height_at_zero_mm=right_height,
            slope=right_slope,
            from_mm=right_mm[0],
            to_mm=right_mm[1],
        ),
        covariance=np.asarray(dposv(information, np.eye(4))[1], dtype=np.float64),
    )
