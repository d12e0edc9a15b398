"""The parent metal: where it lies by the target, and where light shows it."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.beadmap import Axis
from beadcheck.profiles.pair.cells import cells_along
from beadcheck.profiles.pair.level import base_of, levelled
from beadcheck.profiles.pair.relief import Relief
from beadcheck.profiles.pair.toe_lines import ToeLines

CELLS = cells_along(
    Axis(origin_mm=(3.0, 4.0), direction=(0.96, 0.28), across=(-0.28, 0.96)),
    s_range_mm=(0.0, 31.0),
    across_range_mm=(-11.0, 12.5),
    px_per_mm=10.0,
)
TOES = ToeLines(
    s_mm=np.array([0.0, 31.0]), left_mm=np.array([-4.0, -4.4]), right_mm=np.array([4.3, 4.1])
)
CROWN_MM, UNDER_PAPER_MM = 2.0, 0.05


def relief_of(metal_mm):
    """A flat weld 2 mm high between parts that look as high as told."""
    height_mm = np.where(TOES.between(CELLS), CROWN_MM, metal_mm)
    height_mm = np.broadcast_to(height_mm, CELLS.shape).astype(np.float64)
    u_height_mm = np.full(CELLS.shape, 0.06)
    return Relief(cells=CELLS, height_mm=height_mm, u_height_mm=u_height_mm, metal_alike=0.8)


def base(relief):
    nothing = np.zeros(CELLS.shape, dtype=np.bool_)
    found = base_of(relief, TOES, nothing, ~nothing, under_paper_mm=UNDER_PAPER_MM)
    assert found is not None
    return found


def test_metal_that_looks_a_little_off_is_believed_to_lie_near_the_paper():
    found = base(relief_of(0.05))
    assert -UNDER_PAPER_MM < found.offset_mm < 0.0
    # Weighted by their variances: 0.05 mm for paper against 0.1 mm for light.
    assert_allclose(found.offset_mm, -UNDER_PAPER_MM + 0.1 * 0.2, atol=0.002)
    assert found.u_offset_mm < 0.05


def test_metal_that_looks_far_off_is_believed_for_the_target_is_bowed_or_lifted():
    found = base(relief_of(-0.8))
    assert_allclose(found.offset_mm, -0.8, atol=0.04)
    assert found.u_offset_mm > 0.05


def test_parent_metal_measures_flat_and_the_weld_counts_from_where_the_metal_lies():
    relief = relief_of(0.1)
    found = base(relief)
    height_mm = levelled(relief, found, TOES)
    assert_allclose(height_mm[~TOES.between(CELLS)], 0.0, atol=0.003)
    assert_allclose(height_mm[TOES.between(CELLS)], CROWN_MM - found.offset_mm, atol=0.003)


def test_what_stands_on_the_metal_is_left_out_and_a_misaligned_part_is_not():
    on_right = CELLS.across_mm[:, None] > 0.0
    metal_mm = np.where(on_right, 0.9, 0.0) + np.zeros(CELLS.shape)
    spatter = (np.abs(CELLS.s_mm - 12.0) < 1.0) & (np.abs(CELLS.across_mm[:, None] - 8.0) < 1.0)
    relief = relief_of(np.where(spatter, 2.0, metal_mm))
    height_mm = levelled(relief, base(relief), TOES)
    assert np.isnan(height_mm[spatter]).all()
    beside = ~TOES.between(CELLS, 1.0) & ~spatter
    assert np.isfinite(height_mm[beside]).all()
    assert np.ptp(height_mm[beside]) == pytest.approx(0.9, abs=0.01)
