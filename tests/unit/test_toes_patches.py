"""The likeliest weld among patches of likelihood drawn by hand."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.toes.patches import best_patch, principal_line

PX_PER_MM = 3.1
SIZE = (310, 420)  # rows, columns


def overview() -> BeadMap:
    rows, columns = SIZE
    return BeadMap(
        bgr=np.zeros((rows, columns, 3), np.uint8),
        seen=np.ones(SIZE, dtype=bool),
        s_mm=-21.0 + np.arange(columns) / PX_PER_MM,
        across_mm=-33.0 + np.arange(rows) / PX_PER_MM,
        px_per_mm=PX_PER_MM,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )


def bar(
    likelihood: np.ndarray, start: tuple[int, int], end: tuple[int, int], width: int, level: float
) -> None:
    mask = np.zeros(SIZE, np.uint8)
    cv2.line(mask, start, end, 1, width)
    likelihood[mask > 0] = level


def found_line(likelihood: np.ndarray) -> tuple[np.ndarray, np.ndarray] | None:
    patch = best_patch(likelihood, np.ones(SIZE, dtype=bool), overview())
    return None if patch is None else principal_line(patch.points)


def test_a_slanted_weld_is_found_along_its_own_line() -> None:
    likelihood = np.full(SIZE, 0.1, np.float32)
    bar(likelihood, (60, 80), (340, 190), 24, 0.9)
    line = found_line(likelihood)
    assert line is not None
    centre, direction = line
    assert_allclose(centre, [-21.0 + 200 / PX_PER_MM, -33.0 + 135 / PX_PER_MM], atol=0.5)
    slope = abs(direction[1] / direction[0])
    assert slope == pytest.approx(110 / 280, abs=0.03)


def test_a_weld_in_rough_likelihood_is_parted_from_it_at_a_higher_level() -> None:
    likelihood = np.full(SIZE, 0.05, np.float32)
    likelihood[60:220, 30:390] = 0.5  # rough plate that looks somewhat like weld
    bar(likelihood, (60, 140), (360, 150), 22, 0.95)
    patch = best_patch(likelihood, np.ones(SIZE, dtype=bool), overview())
    assert patch is not None
    width_mm = patch.points.shape[0] / PX_PER_MM**2 / (300 / PX_PER_MM)
    assert width_mm == pytest.approx(22 / PX_PER_MM, rel=0.15)


def test_a_weld_broken_by_a_chalk_mark_is_one_weld() -> None:
    likelihood = np.full(SIZE, 0.05, np.float32)
    bar(likelihood, (40, 150), (180, 154), 20, 0.9)
    bar(likelihood, (220, 155), (380, 160), 20, 0.9)
    patch = best_patch(likelihood, np.ones(SIZE, dtype=bool), overview())
    assert patch is not None
    assert np.ptp(patch.points[:, 0]) == pytest.approx(340 / PX_PER_MM, abs=8.0)


@pytest.mark.parametrize(
    "why", ["nothing", "too short", "round", "no darker beside it", "thinner than any bead"]
)
def test_what_cannot_be_a_weld_is_not_taken_for_one(why: str) -> None:
    likelihood = np.full(SIZE, 0.05, np.float32)
    if why == "too short":
        bar(likelihood, (150, 150), (172, 150), 8, 0.95)
    elif why == "round":
        cv2.circle(likelihood, (200, 150), 60, 0.95, -1)
    elif why == "no darker beside it":
        likelihood[:] = 0.65
        bar(likelihood, (60, 150), (360, 150), 22, 0.75)
    elif why == "thinner than any bead":
        bar(likelihood, (60, 150), (360, 150), 1, 0.95)
    assert found_line(likelihood) is None
