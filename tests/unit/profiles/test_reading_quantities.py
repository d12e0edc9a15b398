"""From the sections of one take to mean, spread, least and largest."""

from dataclasses import replace

import numpy as np
import pytest
from section_shapes import Seen, Shape, profile

from beadcheck.coupon import WeldPass
from beadcheck.measurements.profile import (
    ProfileReading,
    height_names,
    profile_quantities,
    read_profile,
)
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Scope, Side, Statistic

QUIET = Seen(u_mm=0.02, correlated_mm=0.05, smooth_mm=0.03, tilt_deg=0.7)
CAP = Shape(kind="arc", width=10.7, height=1.9, toe_radius=0.4)


def _readings(shapes, seed, *, seen=QUIET, apart_mm=1.0) -> list[ProfileReading]:
    rng = np.random.default_rng(seed)
    return [
        read_profile(profile(shape, seen, rng, s_mm=12.0 + apart_mm * i), weld_pass=WeldPass.CAP)
        for i, shape in enumerate(shapes)
    ]


def _named(quantities, name, statistic, side=None) -> Quantity | NotMeasured:
    (found,) = (
        each
        for each in quantities
        if each.name is name
        and (isinstance(each, NotMeasured) or (each.statistic is statistic and each.side is side))
    )
    return found


def test_noise_does_not_raise_the_largest_of_many_sections():
    """Thirty sections of one height: their largest reading lies two spreads above the truth."""
    seen = replace(QUIET, gain=0.0, form_mm=0.0)
    errors, raw = [], []
    for seed in range(4):
        readings = _readings([CAP] * 30, seed, seen=seen)
        largest = _named(
            profile_quantities(readings), QuantityName.FACE_REINFORCEMENT, Statistic.MAX
        )
        assert isinstance(largest, Quantity)
        errors.append(largest.value - 1.9)
        raw.append(
            max(each.value(QuantityName.FACE_REINFORCEMENT).value for each in readings) - 1.9
        )
        assert abs(errors[-1]) <= largest.expanded_uncertainty
    assert np.mean(raw) > 0.02
    assert np.mean(errors) < 0.6 * np.mean(raw)


def test_what_noise_adds_is_not_taken_off_beyond_the_mean():
    seen = replace(QUIET, u_mm=0.08, gain=0.0, form_mm=0.0)
    for seed in range(4):
        found = profile_quantities(_readings([CAP] * 12, seed, seen=seen))
        least, mean, largest = (
            _named(found, QuantityName.FACE_REINFORCEMENT, statistic).value
            for statistic in (Statistic.MIN, Statistic.MEAN, Statistic.MAX)
        )
        assert least <= mean + 1e-9
        assert largest >= mean - 1e-9


def test_a_mean_shrinks_what_differs_between_sections_and_nothing_else():
    one, many = (
        _named(
            profile_quantities(_readings([CAP] * count, 7)),
            QuantityName.FACE_REINFORCEMENT,
            Statistic.MEAN,
        )
        for count in (1, 16)
    )
    assert isinstance(one, Quantity)
    assert isinstance(many, Quantity)
    for scope, factor in ((Scope.STATION, 0.25), (Scope.PHOTO, 1.0)):
        first, second = (
            np.hypot.reduce([c.standard_uncertainty for c in each.budget if c.scope is scope])
            for each in (one, many)
        )
        # Sections differ a little in how noisy they look.
        assert second == pytest.approx(factor * first, rel=0.35)
    assert (one.count, many.count) == (1, 16)
    assert many.s_range_mm == (12.0, 27.0)


def test_one_section_gives_no_spread_and_no_evenness_of_width():
    found = profile_quantities(_readings([CAP], 8))
    statistics = {each.statistic for each in found if isinstance(each, Quantity)}
    assert Statistic.SD not in statistics
    widths = [each for each in found if each.name is QuantityName.WELD_WIDTH]
    assert [each.statistic for each in widths] == [Statistic.MEAN]


def test_every_name_of_the_pass_is_measured_or_says_why_not():
    for weld_pass in (None, *WeldPass):
        rng = np.random.default_rng(9)
        reading = read_profile(profile(CAP, QUIET, rng), weld_pass=weld_pass)
        names = {each.name for each in profile_quantities([reading])}
        assert set(height_names(weld_pass)) <= names


def test_a_plate_without_a_weld_gives_each_reason_once():
    found = profile_quantities(_readings([Shape(kind="none", width=9.0)] * 2, 16))
    assert all(isinstance(each, NotMeasured) for each in found)
    assert len({each.name for each in found}) == len(found)


def test_the_length_of_an_undercut_is_followed_through_dense_sections():
    groove = replace(CAP, undercut=(0.5, 0.0), undercut_width=1.2)
    readings = _readings([CAP] * 5 + [groove] * 7 + [CAP] * 6, 10)
    left, right = (
        _named(profile_quantities(readings), QuantityName.UNDERCUT_LENGTH, Statistic.MAX, side)
        for side in Side
    )
    assert isinstance(left, Quantity)
    assert isinstance(right, Quantity)
    assert abs(left.value - 7.0) <= left.expanded_uncertainty <= 5.0
    assert abs(right.value) <= right.expanded_uncertainty
    deepest = _named(
        profile_quantities(readings), QuantityName.UNDERCUT_DEPTH, Statistic.MAX, Side.LEFT
    )
    assert isinstance(deepest, Quantity)
    assert abs(deepest.value - 0.5) <= deepest.expanded_uncertainty


def test_the_total_length_of_undercuts_counts_every_piece():
    groove = replace(CAP, undercut=(0.5, 0.0), undercut_width=1.2)
    readings = _readings([CAP] * 4 + [groove] * 5 + [CAP] * 4 + [groove] * 3 + [CAP] * 4, 10)
    longest, total = (
        _named(profile_quantities(readings), QuantityName.UNDERCUT_LENGTH, statistic, Side.LEFT)
        for statistic in (Statistic.MAX, Statistic.TOTAL)
    )
    assert isinstance(longest, Quantity)
    assert isinstance(total, Quantity)
    assert abs(longest.value - 5.0) <= longest.expanded_uncertainty
    assert abs(total.value - 8.0) <= total.expanded_uncertainty <= 8.0
    assert total.value - longest.value >= 2.0


def test_how_long_the_face_lies_low_is_followed_where_it_does_and_not_told_elsewhere():
    hollow = replace(CAP, kind="hollow", height=0.7)
    found = profile_quantities(_readings([CAP] * 6 + [hollow] * 8 + [CAP] * 6, 17))
    longest, total = (
        _named(found, QuantityName.UNDERFILL_LENGTH, statistic)
        for statistic in (Statistic.MAX, Statistic.TOTAL)
    )
    for length in (longest, total):
        assert isinstance(length, Quantity)
        assert abs(length.value - 8.0) <= length.expanded_uncertainty <= 5.0
    # Fewer than half of the sections lie low, and most that do not are sure of it.
    deepest = _named(found, QuantityName.UNDERFILL, Statistic.MAX)
    assert isinstance(deepest, Quantity)
    assert abs(deepest.value - 0.7) <= deepest.expanded_uncertainty < 0.2
    for plain in (_readings([CAP] * 12, 18), _readings([CAP, hollow] * 3, 19, apart_mm=8.0)):
        names = {each.name for each in profile_quantities(plain)}
        assert QuantityName.UNDERFILL_LENGTH not in names


def test_sections_far_apart_do_not_tell_how_long_an_undercut_is():
    readings = _readings([CAP] * 6, 11, apart_mm=8.0)
    found = _named(profile_quantities(readings), QuantityName.UNDERCUT_LENGTH, Statistic.MAX)
    assert isinstance(found, NotMeasured)
    assert "too far apart" in found.reason


def test_a_lone_misread_section_among_near_neighbours_is_left_out():
    misread = replace(CAP, height=3.4)
    readings = _readings([CAP] * 4 + [misread] + [CAP] * 4, 12)
    largest = _named(profile_quantities(readings), QuantityName.FACE_REINFORCEMENT, Statistic.MAX)
    assert isinstance(largest, Quantity)
    assert largest.count == 8
    assert abs(largest.value - 1.9) < 0.1
    apart = _readings([CAP] * 4 + [misread] + [CAP] * 4, 12, apart_mm=10.0)
    farther = _named(profile_quantities(apart), QuantityName.FACE_REINFORCEMENT, Statistic.MAX)
    assert isinstance(farther, Quantity)
    assert farther.value > 3.0


def test_a_section_far_less_sure_than_the_others_is_not_picked_as_the_extreme():
    sure = _readings([CAP] * 6, 17)
    rough = _readings([CAP], 18, seen=replace(QUIET, u_mm=0.12, correlated_mm=0.3))
    largest = _named(
        profile_quantities([*sure, *rough]), QuantityName.LINEAR_MISALIGNMENT, Statistic.MAX
    )
    assert isinstance(largest, Quantity)
    assert largest.count == 6
    assert largest.expanded_uncertainty < 0.3


def test_steps_are_averaged_with_their_sense():
    readings = _readings([CAP] * 20, 13)
    mean = _named(profile_quantities(readings), QuantityName.LINEAR_MISALIGNMENT, Statistic.MEAN)
    sizes = [each.value(QuantityName.LINEAR_MISALIGNMENT).value for each in readings]
    assert isinstance(mean, Quantity)
    # The mean of sizes would be 0.8 of a section's own uncertainty.
    assert mean.value < 0.6 * np.mean(sizes)
    assert mean.value <= mean.expanded_uncertainty


def test_an_undercut_hidden_in_many_sections_is_not_told_from_the_others():
    hidden = replace(QUIET, envelope_mm=0.3)
    groove = replace(CAP, undercut=(0.6, 0.0), undercut_width=0.9)
    readings = _readings([CAP] * 5, 14) + _readings([groove] * 5, 15, seen=hidden)
    found = profile_quantities(readings)
    depths = [each for each in found if each.name is QuantityName.UNDERCUT_DEPTH]
    assert all(isinstance(each, NotMeasured) for each in depths)
