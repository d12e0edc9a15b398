"""Patches of likely weld: long, slender, and clear of what lies beside them."""

from dataclasses import dataclass
from functools import partial
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.side_by_side import side_by_side
from beadcheck.surface import Points

LEVELS: Final = (0.4, 0.55, 0.7, 0.85)
"""Likelihoods at which patches are cut out: a weak picture shows its weld at a low one, a busy
picture parts it from rough metal at a high one."""
LEAST_CONTRAST: Final = 0.35
"""Mean likelihood of a weld less that of the metal beside it."""
LEAST_LENGTH_MM: Final = 12.0
WIDTH_RANGE_MM: Final = (1.5, 45.0)
LEAST_SLENDERNESS: Final = 1.6
"""Length over width: a shorter patch has no direction that can be trusted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """A place on the surface, and the distance from it at which a weld counts half."""

    x_mm: float
    y_mm: float
    reach_mm: float

    def weight(self, points: Points) -> float:
        """How much a patch counts: 1 where its nearest tenth lies at the place."""
        away = np.hypot(points[:, 0] - self.x_mm, points[:, 1] - self.y_mm)
        return float(1.0 / (1.0 + (np.quantile(away, 0.1) / self.reach_mm) ** 2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldPatch:
    """The likeliest weld, other patches on its line included.

    Attributes
    ----------
    points, weights
        (N, 2) surface points and (N,) their likelihoods.
    worth
        By which patches are chosen: length times squared contrast.
    """

    points: Points
    weights: NDArray[np.float64]
    worth: float


def best_patch(
    likelihood: NDArray[np.float32],
    zone: NDArray[np.bool_],
    overview: BeadMap,
    aimed_at: Aim | None = None,
) -> WeldPatch | None:
    """Find the likeliest weld, or None where nothing may be one.

    Parameters
    ----------
    aimed_at
        Where the photographer aimed: a weld there counts more than one near the photo's edge.
    """
    best: tuple[float, list[_Patch], _Patch] | None = None
    for patches in side_by_side(partial(_patches, likelihood, zone, overview), LEVELS):
        for patch in patches:
            worth = patch.length_mm * patch.contrast**2
            if aimed_at is not None:
                worth *= aimed_at.weight(patch.points)
            if patch.may_be_weld and (best is None or worth > best[0]):
                best = (worth, patches, patch)
    if best is None:
        return None
    worth, patches, weld = best
    centre, direction = principal_line(weld.points)
    normal = np.array([-direction[1], direction[0]])
    on_line = [
        patch
        for patch in patches
        if np.abs((patch.points - centre) @ normal).mean() < 0.5 * weld.width_mm
        and patch.width_mm < 1.5 * weld.width_mm
    ]
    return WeldPatch(
        points=np.concatenate([patch.points for patch in on_line]),
        weights=np.concatenate([patch.weights for patch in on_line]),
        worth=worth,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Patch:
    """A connected patch of likely weld; `contrast` is against a band around it."""

    points: Points
    weights: NDArray[np.float64]
    length_mm: float
    width_mm: float
    contrast: float

    @property
    def may_be_weld(self) -> bool:
        """Whether it is long, slender and clear enough."""
        return (
            self.length_mm >= LEAST_LENGTH_MM
            and WIDTH_RANGE_MM[0] <= self.width_mm <= WIDTH_RANGE_MM[1]
            and self.length_mm >= LEAST_SLENDERNESS * self.width_mm
            and self.contrast >= LEAST_CONTRAST
        )


def _patches(
    likelihood: NDArray[np.float32], zone: NDArray[np.bool_], overview: BeadMap, level: float
) -> list[_Patch]:
    likely = (likelihood > level).astype(np.uint8)
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(likely, connectivity=8)
    least_px = 0.3 * LEAST_LENGTH_MM * WIDTH_RANGE_MM[0] * overview.px_per_mm**2
    patches = []
    for label in range(1, count):
        left, top, wide, high, area = (int(number) for number in boxes[label])
        if area < least_px:
            continue
        rows, columns = np.nonzero(labels[top : top + high, left : left + wide] == label)
        rows, columns = rows + top, columns + left
        points = np.stack([overview.s_mm[columns], overview.across_mm[rows]], axis=1)
        weights = likelihood[rows, columns].astype(np.float64)
        length_mm, width_mm = _length_and_width(points)
        reach = max(2, round(0.6 * width_mm * overview.px_per_mm))
        # Nothing farther off than the band around it is looked at.
        near = (
            slice(max(0, top - reach), top + high + reach),
            slice(max(0, left - reach), left + wide + reach),
        )
        mine = labels[near] == label
        around = cv2.dilate(mine.astype(np.uint8), np.ones((2 * reach + 1,) * 2, np.uint8)) > 0
        around &= zone[near] & ~mine
        outside = float(likelihood[near][around].mean()) if around.any() else 1.0
        patches.append(
            _Patch(
                points=points,
                weights=weights,
                length_mm=length_mm,
                width_mm=width_mm,
                contrast=float(weights.mean()) - outside,
            )
        )
    return patches


def principal_line(points: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Middle of a patch, and the unit vector along it."""
    centre = points.mean(axis=0)
    _, vectors = np.linalg.eigh(np.cov((points - centre).T))
    return centre, vectors[:, 1]


def _length_and_width(points: Points) -> tuple[float, float]:
    """Length and width in mm of an elongated patch, from its second moments."""
    spread = np.sqrt(np.maximum(np.linalg.eigvalsh(np.cov(points.T)), 1e-9))
    # A uniform bar of length L has a standard deviation of L / sqrt(12).
    return float(spread[1] * np.sqrt(12.0)), float(spread[0] * np.sqrt(12.0))
