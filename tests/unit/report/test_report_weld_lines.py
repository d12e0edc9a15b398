"""The weld as lines: states, extremes and clock positions."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.report.weld_lines import ToeState, WeldLines, weld_lines

from .conftest import PX_PER_MM, STATIONS, width_mm


@pytest.fixture(name="weld")
def _weld(make_result):
    return weld_lines(make_result(), 0)


def test_the_extremes_are_sure_and_steady_and_carry_the_us_of_the_quantities(weld, make_result):
    narrowest, widest = weld.extremes
    assert (narrowest.word, narrowest.station, narrowest.expanded) == ("narrowest", 12, 0.21)
    assert (narrowest.width, narrowest.unit) == (width_mm(12), "mm")
    assert (widest.word, widest.station) == ("widest", 52)
    result = make_result()
    stations = tuple(
        replace(each, weld_width_mm=1.0) if not (each.sure and each.steady) else each
        for each in result.stations
    )
    assert weld_lines(replace(result, stations=stations), 0).extremes == weld.extremes


def test_the_stretches_follow_one_another_without_a_gap(weld):
    stretches = list(weld.stretches())
    assert [stretch.state for stretch in stretches] == [
        ToeState.LEFT_OUT,
        ToeState.SURE,
        ToeState.UNSURE,
        ToeState.SURE,
        ToeState.LEFT_OUT,
    ]
    for before, after in itertools.pairwise(stretches):
        np.testing.assert_array_equal(before.left_px[-1], after.left_px[0])
        np.testing.assert_array_equal(before.right_px[-1], after.right_px[0])


def test_a_hole_between_stations_is_not_bridged(make_result):
    result = make_result()
    holed = replace(result, stations=result.stations[:10] + result.stations[20:])
    lines = [stretch.left_px for stretch in weld_lines(holed, 0).stretches()]
    steps = np.concatenate([np.hypot(*np.diff(line, axis=0).T) for line in lines])
    # 11 px per mm, and toes that wander by less than a tenth of that.
    assert steps.max() < 1.1 * 11.0


def test_clock_positions_run_through_12_without_a_jump(make_result):
    weld = weld_lines(make_result(pipe=True), 0)
    places_mm, clock_deg = weld.clock_marks(15.0)
    np.testing.assert_allclose(clock_deg, [345.0, 0.0, 15.0, 30.0], atol=1e-9)
    # 340 degrees at the first station, 0.8 degrees for each mm.
    np.testing.assert_allclose(places_mm, [6.25, 25.0, 43.75, 62.5], atol=1e-9)


def test_the_mark_at_the_start_is_no_minus_zero(make_result):
    result = make_result()
    moved = tuple(replace(each, s_mm=each.s_mm - 0.4) for each in result.stations)
    marks = weld_lines(replace(result, stations=moved), 0).marks(10.0)
    assert f"{marks[0]:.0f}" == "0"


def test_without_a_target_places_and_extremes_are_in_pixels(make_unscaled):
    weld = weld_lines(make_unscaled(), 0)
    narrowest, widest = weld.extremes
    assert {narrowest.unit, widest.unit, weld.unit} == {"px"}
    # The share of the mean is no width: its U of 0.021 must not stand beside the pixels.
    assert (narrowest.station, narrowest.expanded) == (12, 0.21 * PX_PER_MM)
    assert narrowest.width == pytest.approx(width_mm(12) * PX_PER_MM)
    np.testing.assert_allclose(weld.s, np.arange(STATIONS) * PX_PER_MM)


@given(length=st.floats(60.0, 9e4))
def test_numbered_places_in_pixels_are_round_and_neither_bare_nor_crowded(length):
    weld = replace(_plain(np.zeros((3, 2))), s=length * np.array([0.0, 0.4, 1.0]), unit="px")
    step = weld.numbered_step
    assert f"{step:e}"[0] in "125"
    # Of three neighbours of 1, 2, 5 the middle one is at most 2.5 times the wished distance.
    assert 4 <= length / step <= 13


def test_on_plate_there_are_no_clock_positions(weld):
    assert all(each.size == 0 for each in weld.clock_marks(15.0))


@given(
    angle=st.floats(-np.pi, np.pi),
    scale=st.floats(0.1, 5.0),
    shift=st.tuples(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3)),
)
def test_turning_and_scaling_keeps_the_shape(angle, scale, shift):
    points = np.array([[3.0, 4.0], [100.0, 7.0], [55.0, 90.0]])
    turn = scale * np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    weld = _plain(points)
    moved = weld.moved(np.column_stack([turn, shift]))
    before = np.linalg.norm(points[:, None] - points[None], axis=2)
    after = np.linalg.norm(moved.crests_px[:, None] - moved.crests_px[None], axis=2)
    np.testing.assert_allclose(after, scale * before, atol=1e-7)
    np.testing.assert_allclose(moved.middle_px, moved.left_px, atol=1e-9)


def _plain(points):
    return WeldLines(
        stations=(),
        s=np.arange(3.0),
        unit="mm",
        left_px=points,
        right_px=points,
        clock_deg=None,
        crests_px=points,
        extremes=(),
    )
