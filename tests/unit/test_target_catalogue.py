"""beadcheck's own designs."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.coupon.pipe_sizes import pipe_sizes
from beadcheck.errors.bore import BoreBeyondStripError, BoreUnknownError
from beadcheck.errors.setting import PipeBeyondStripError
from beadcheck.target.catalogue import (
    MARKER_MODULES,
    PIPE_TAIL_MM,
    bore_strip,
    default_targets,
    paper_circumference_mm,
    pipe_strip,
    plate_card,
    plate_strips,
)
from beadcheck.target.design import TargetDesign
from beadcheck.target.read import marker_count
from beadcheck.target.seam import turn_mm


def _ids(design: TargetDesign) -> set[int]:
    return {marker.id for marker in design.markers}


def _inside_one_patch(design: TargetDesign) -> bool:
    """Whether each marker and a quiet zone of one module lie on one patch of its own piece."""
    for marker in design.markers:
        quiet_mm = np.ptp(marker.corners_mm[:, 0]) / MARKER_MODULES
        low, high = (
            marker.corners_mm.min(axis=0) - quiet_mm,
            marker.corners_mm.max(axis=0) + quiet_mm,
        )
        if not any(
            patch.piece == marker.piece
            and (patch.corners_mm.min(axis=0) <= low).all()
            and (patch.corners_mm.max(axis=0) >= high).all()
            for patch in design.paper_patches
        ):
            return False
    return True


def test_the_ids_tell_the_three_targets_apart() -> None:
    ids = [_ids(design) for design in (plate_card(), plate_strips(), pipe_strip(1000.0))]
    assert sum(map(len, ids)) == len(set.union(*ids))
    assert max(set.union(*ids)) < marker_count(plate_card().dictionary)


@pytest.mark.parametrize("design", [plate_card(), plate_strips()], ids=["card", "strips"])
def test_each_marker_stands_on_paper_with_a_quiet_zone_of_a_module(design: TargetDesign) -> None:
    assert _inside_one_patch(design)


def test_the_card_has_four_markers_on_each_side_of_its_window() -> None:
    design = plate_card()
    # The window is what its four patches leave open.
    area = sum(np.prod(np.ptp(patch.corners_mm, axis=0)) for patch in design.paper_patches)
    assert_allclose(design.width_mm * design.height_mm - area, 100.0 * 40.0)
    rows = np.array([marker.corners_mm[:, 1].mean() for marker in design.markers])
    assert ((rows < 24.0).sum(), (rows > 64.0).sum()) == (4, 4)


def test_the_strips_are_two_pieces_of_four_markers() -> None:
    design = plate_strips()
    assert {marker.piece for marker in design.markers} == {0, 1}
    assert [sum(m.piece == piece for m in design.markers) for piece in (0, 1)] == [4, 4]


@given(
    outside_diameter_mm=st.floats(20.0, 1000.0),
    thickness_mm=st.floats(0.02, 3.0),
)
def test_a_strip_of_any_size_goes_round_once_with_ids_of_its_own(
    outside_diameter_mm: float, thickness_mm: float
) -> None:
    design = pipe_strip(outside_diameter_mm, thickness_mm=thickness_mm)
    turn_mm = math.pi * (outside_diameter_mm + thickness_mm)
    assert_allclose(design.width_mm, turn_mm + PIPE_TAIL_MM, atol=0.001)
    assert len(_ids(design)) == len(design.markers)
    assert _inside_one_patch(design)
    lefts = np.array([marker.corners_mm[0, 0] for marker in design.markers])
    assert_allclose(np.diff(lefts), 14.0)
    # No marker is hidden by the start edge; the gap there is less than one pitch wider than others.
    last_right_mm = design.markers[-1].corners_mm[1, 0]
    assert 2.4 < turn_mm - last_right_mm < 2.5 + 14.1


@given(outside_diameter_mm=st.floats(20.0, 1000.0))
def test_joints_fall_between_markers_and_segments_fit_the_sheet(outside_diameter_mm: float) -> None:
    design = pipe_strip(outside_diameter_mm)
    ends = (0.0, *design.joints_mm, design.width_mm)
    lengths = [end - start for start, end in pairwise(ends)]
    assert max(lengths) <= 252.0 + 1e-9
    assert max(lengths) - min(lengths) <= 28.0
    for joint_mm in design.joints_mm:
        gaps = [np.abs(marker.corners_mm[:, 0] - joint_mm).min() for marker in design.markers]
        assert min(gaps) >= 2.5 - 1e-9


def test_the_millimetres_of_a_strip_do_not_hang_on_the_diameter_it_is_made_for() -> None:
    small, large = pipe_strip(60.3), pipe_strip(610.0, thickness_mm=0.3)
    for one, other in zip(small.markers, large.markers, strict=False):
        assert one.id == other.id
        assert_allclose(one.corners_mm, other.corners_mm)


def test_every_pipe_of_the_table_gets_a_strip() -> None:
    for outside_diameter_mm in {size.outside_diameter_mm for size in pipe_sizes()}:
        assert len(pipe_strip(outside_diameter_mm).markers) >= 4


def test_paper_bends_about_its_middle() -> None:
    # A strip of thickness t on a pipe of diameter D lies on a circle of diameter D + t.
    assert_allclose(paper_circumference_mm(100.0, thickness_mm=0.2), 314.787576, atol=1e-6)


@pytest.mark.parametrize("outside_diameter_mm", [0.0, 19.9, 1000.1, math.inf, math.nan, -60.3])
def test_a_pipe_that_no_strip_goes_round_is_refused(outside_diameter_mm: float) -> None:
    with pytest.raises(PipeBeyondStripError, match="20 to 1000 mm"):
        pipe_strip(outside_diameter_mm)


def test_what_is_looked_for_hangs_on_the_shape() -> None:
    plate = default_targets(Coupon())
    assert [design.name for design in plate] == [plate_card().name, plate_strips().name]
    pipe = Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1, wall_thickness_mm=10.31)
    (outside,) = default_targets(pipe)
    assert (outside.outside_diameter_mm, outside.bore_mm) == (219.1, None)
    (inside,) = default_targets(replace(pipe, weld_pass=WeldPass.ROOT_SIDE))
    assert inside.outside_diameter_mm is None
    # NPS 8 SCH 60 by ASME B36.10M: 219.1 mm less two walls of 10.31 mm.
    assert_allclose(inside.bore_mm or math.nan, 198.48, atol=1e-9)
    with pytest.raises(BoreUnknownError, match="not known"):
        default_targets(replace(pipe, weld_pass=WeldPass.ROOT_SIDE, wall_thickness_mm=None))


def test_a_strip_in_a_bore_is_shorter_and_its_clock_runs_the_other_way() -> None:
    strip = bore_strip(198.48, thickness_mm=0.1)
    # Its paper's middle lies half a thickness inside the bore.
    assert_allclose(turn_mm(strip) or math.nan, math.pi * 198.38, atol=1e-9)
    assert (strip.clock_sense, pipe_strip(219.1).clock_sense) == (-1, 1)
    with pytest.raises(BoreBeyondStripError, match=r"45 to 1000 mm; 41\.1 mm is beyond"):
        bore_strip(41.1)


@pytest.mark.parametrize("design", [plate_card(), plate_strips()], ids=["card", "strips"])
def test_the_known_step_of_a_plate_target_stands_on_bare_metal(design: TargetDesign) -> None:
    assert design.step_corners_mm is not None
    places = design.step_corners_mm.mean(axis=0) + 0.99 * (
        design.step_corners_mm - design.step_corners_mm.mean(axis=0)
    )
    for patch in design.paper_patches:
        low, high = patch.corners_mm.min(axis=0), patch.corners_mm.max(axis=0)
        assert not ((places > low) & (places < high)).all(axis=1).any()
