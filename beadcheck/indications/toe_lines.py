"""Dark lines along a toe: valleys of lightness just outside it that run on along the weld."""

import math
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.indications.levelled import LevelMap

PITCH_MM: Final = 0.1
OFFSETS_MM: Final = np.arange(-3.0, 2.0 + 0.5 * PITCH_MM, PITCH_MM)
"""Places across the toe, from base metal (below 0) into the weld face."""
AT_TOE_MM: Final = (-0.9, 0.1)
"""Where the valley's floor may lie."""
BEYOND_MM: Final = -1.25
INSIDE_MM: Final = 0.3
"""Base metal past the first, weld face past the second, are to be lighter than the floor."""
WIDEST_MM: Final = 1.2
"""A wider dark band is heat tint or shade."""
SMOOTHED_MM: Final = 1.5
"""Standard deviation of the averaging along the weld."""
GAP_MM: Final = 1.0
SHORTEST_MM: Final = 5.0
LEAST_DEPTH: Final = 0.17
"""Least depth of the valley in contrast, over what this toe usually has. By trial on rendered
photos, for 1 false line in 7 photos; no published source."""
USUAL_PERCENTILE: Final = 65.0
OWN_PERCENTILE: Final = 75.0
SPREAD: Final = math.sqrt(12.0)
"""A rectangular distribution's width over its standard deviation."""
END_LEVELS: Final = (0.5, 0.35, 0.65)
"""Shares of the line's own depth at which it ends: the first gives its length, the others tell how
much that choice matters. The same shares serve for its width."""
METAL_TEXTURE: Final = 0.7
"""How much of the deepest valley in the base metal beyond (brushing, say) is taken off."""
LIGHTER_PERCENTILE: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ToeLine:
    """A dark line from one place along the weld to another, its middle off the toe, its width.

    Its length and width carry how much they depend on the level at which they are taken.
    """

    side: str
    s_mm: tuple[float, float]
    u_length_mm: float
    off_mm: float
    width_mm: float
    u_width_mm: float
    clearness: float


def toe_lines(level: LevelMap) -> list[ToeLine]:
    """Dark lines along both toes."""
    return [
        line
        for side, toe_mm, inwards in (
            ("left", level.left_mm, 1.0),
            ("right", level.right_mm, -1.0),
        )
        for line in _lines(level, side, toe_mm, inwards)
    ]


def _lines(
    level: LevelMap, side: str, toe_mm: NDArray[np.float64], inwards: float
) -> list[ToeLine]:
    profiles, clear = _profiles(level, toe_mm, inwards)
    if not clear.any():
        return []
    depth = _depth(profiles)
    depth -= max(0.0, float(np.percentile(depth[clear], USUAL_PERCENTILE)))
    lines: dict[tuple[int, int], ToeLine] = {}
    for first, last in _runs((depth > LEAST_DEPTH) & clear, level.px(GAP_MM)):
        if (last - first + 1) / level.px_per_mm < SHORTEST_MM:
            continue
        usual = float(np.percentile(depth[first : last + 1], OWN_PERCENTILE))
        peak = first + int(np.argmax(depth[first : last + 1]))
        half, wide = (
            _run_about(peak, (depth > share * usual) & clear, level.px(GAP_MM))
            for share in END_LEVELS[:2]
        )
        deep = np.flatnonzero(depth[half[0] : half[1] + 1] > END_LEVELS[2] * usual)
        off_mm, width_mm, u_width_mm = _valley(profiles[half[0] : half[1] + 1].mean(axis=0))
        lines[half] = ToeLine(
            side=side,
            s_mm=(float(level.s_mm[half[0]]), float(level.s_mm[half[1]])),
            u_length_mm=float(np.ptp(wide) - np.ptp(deep)) / level.px_per_mm / SPREAD,
            off_mm=float(off_mm * inwards),
            width_mm=width_mm,
            u_width_mm=u_width_mm,
            clearness=usual / LEAST_DEPTH,
        )
    return list(lines.values())


def _run_about(place: int, holds: NDArray[np.bool_], gap: int) -> tuple[int, int]:
    return next(run for run in _runs(holds, gap) if run[0] <= place <= run[1])


def _profiles(
    level: LevelMap, toe_mm: NDArray[np.float64], inwards: float
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """(C, K) contrast across the toe, averaged along the weld, and (C,) where it is in view."""
    rows = (toe_mm[:, None] + inwards * OFFSETS_MM - level.across_mm[0]) * level.px_per_mm
    columns = np.broadcast_to(np.arange(toe_mm.size, dtype=np.float32)[:, None], rows.shape)
    profiles = cv2.remap(
        level.light,
        np.ascontiguousarray(columns),
        rows.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    smooth = cv2.GaussianBlur(
        profiles,
        (1, 0),
        sigmaX=1e-6,
        sigmaY=SMOOTHED_MM * level.px_per_mm,
        borderType=cv2.BORDER_REPLICATE,
    )
    metal = int(np.searchsorted(OFFSETS_MM, -1.0))
    at = np.clip(np.round(rows[:, metal]).astype(int), 0, level.across_mm.size - 1)
    clear = level.base[at, np.arange(toe_mm.size)]
    return np.asarray(smooth, dtype=np.float32), np.asarray(clear)


def _depth(profiles: NDArray[np.float32]) -> NDArray[np.float64]:
    """(C,) depth of the valley at the toe less that of the valleys beyond; 0 where it is no floor.

    It is one only where both the base metal beyond and the weld face are lighter.
    """
    kernel = np.ones((1, round(WIDEST_MM / PITCH_MM) + 1), np.uint8)
    valleys = cv2.morphologyEx(
        profiles, cv2.MORPH_BLACKHAT, kernel, borderType=cv2.BORDER_REPLICATE
    )
    at_toe = (AT_TOE_MM[0] - 1e-9 <= OFFSETS_MM) & (AT_TOE_MM[1] + 1e-9 >= OFFSETS_MM)
    beyond, inside = OFFSETS_MM <= BEYOND_MM, OFFSETS_MM >= INSIDE_MM
    depth = valleys[:, at_toe].max(axis=1) - METAL_TEXTURE * valleys[:, beyond].max(axis=1)
    floor = profiles[:, at_toe].min(axis=1)
    lighter = [
        np.percentile(profiles[:, part], LIGHTER_PERCENTILE, axis=1) > floor
        for part in (beyond, inside)
    ]
    return np.where(lighter[0] & lighter[1], depth, 0.0).astype(np.float64)


def _valley(profile: NDArray[np.float32]) -> tuple[float, float, float]:
    """Middle of a valley off the toe, its width at half depth, and that width's uncertainty."""
    at_toe = np.flatnonzero(
        (AT_TOE_MM[0] - 1e-9 <= OFFSETS_MM) & (AT_TOE_MM[1] + 1e-9 >= OFFSETS_MM)
    )
    bottom = int(at_toe[np.argmin(profile[at_toe])])
    reach = round(WIDEST_MM / PITCH_MM)
    left = profile[max(0, bottom - reach) : bottom + 1][::-1]
    right = profile[bottom : bottom + reach + 1]
    shoulder = min(float(left.max()), float(right.max()))
    floor = float(profile[bottom])
    spans = [
        tuple(_crossing(part, floor + share * (shoulder - floor)) for part in (left, right))
        for share in END_LEVELS
    ]
    half, low, high = (sum(span) for span in spans)
    middle = OFFSETS_MM[bottom] + 0.5 * PITCH_MM * (spans[0][1] - spans[0][0])
    return float(middle), PITCH_MM * half, PITCH_MM * abs(high - low) / SPREAD


def _crossing(rising: NDArray[np.float32], value: float) -> float:
    """Steps from the start of a rising profile to where it first reaches a value."""
    above = np.flatnonzero(rising >= value)
    if above.size == 0 or above[0] == 0:
        return 0.0 if above.size else float(rising.size - 1)
    after = int(above[0])
    low, high = float(rising[after - 1]), float(rising[after])
    return after - 1 + (value - low) / max(high - low, 1e-9)


def _runs(holds: NDArray[np.bool_], gap: int) -> list[tuple[int, int]]:
    """First and last index of each run; shorter gaps are bridged."""
    places = np.flatnonzero(holds)
    if places.size == 0:
        return []
    parts = np.split(places, np.flatnonzero(np.diff(places) > gap) + 1)
    return [(int(part[0]), int(part[-1])) for part in parts]
