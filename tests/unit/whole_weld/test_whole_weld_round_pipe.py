"""Photos round a pipe become one weld: places, gaps, crests, and who belongs."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Shape, StripSide, WeldPass
from beadcheck.pipeline import join
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.result import Whose, quantity_records
from beadcheck.units import Unit

SHUFFLED = (3, 0, 6, 2, 5, 1, 4)


def arc_errors_mm(ring, whole):
    """Places of the stations, found by their known widths' photo, against the truth."""
    turns = whole.length_mm / ring.girth_mm
    arcs = np.array([station.arc_mm for station in whole.stations])
    widths = np.array([station.weld_width_mm for station in whole.stations])
    return arcs / turns, widths


def test_photos_in_any_order_make_one_weld_without_gaps(make_ring):
    ring = make_ring()
    photos = ring.results()
    joined = join([photos[k] for k in SHUFFLED], coupon=ring.coupon)
    whole = joined.whole_weld
    assert whole.photos == tuple(range(7))
    assert whole.gaps == ()
    assert whole.closure.fault == "none"
    assert_allclose(whole.length_mm, ring.girth_mm, atol=0.1)
    assert len(whole.stations) == round(ring.girth_mm)
    arcs, widths = arc_errors_mm(ring, whole)
    # Noise of 0.05 mm a photo, and what is interpolated between stations.
    assert_allclose(widths, ring.width_at(arcs), atol=0.2)


def test_every_place_is_known_to_half_a_millimetre_over_glued_joints_and_the_seam(make_ring):
    """A step of the width lies where it truly is, though segments are glued on off their places."""
    for step_at_mm in (120.0, 260.0, 470.0, 610.0):
        ring = make_ring(
            step_mm=2.0, step_at_mm=step_at_mm, wave_mm=0.0, noise_mm=0.0, shifts_mm=(0, 0.4, -0.3)
        )
        whole = ring.joined().whole_weld
        arcs = np.array([station.arc_mm for station in whole.stations])
        widths = np.array([station.weld_width_mm for station in whole.stations])
        before = arcs[(widths < 9.0) & (np.abs(arcs - step_at_mm) < 5.0)].max()
        after = arcs[(widths > 9.0) & (np.abs(arcs - step_at_mm) < 5.0)].min()
        # Stations lie a millimetre apart in the photos too.
        assert abs(0.5 * (before + after) - step_at_mm) <= 1.0
        for joint, shift in zip(whole.joints, (0.4, -0.7), strict=True):
            assert abs(joint.shift_mm - shift) <= joint.shift_U_mm


def test_a_missing_photo_leaves_a_gap_and_harms_nothing_else(make_ring):
    ring = make_ring()
    whole, less = ring.joined().whole_weld, ring.joined(without=(2,)).whole_weld
    (gap,) = less.gaps
    middle = 0.5 * (gap.from_arc_mm + gap.to_arc_mm)
    assert_allclose(middle, 2.37 / 7 * ring.girth_mm, atol=3.0)
    assert "Photograph here: from 3:" in gap.words
    assert less.crest_count is None
    assert "Ripples are not counted: from 3:" in less.crest_count_words
    by_place = {round(station.arc_mm): station for station in whole.stations}
    for station in less.stations:
        here = by_place[round(station.arc_mm)]
        assert abs(station.weld_width_mm - here.weld_width_mm) <= 0.3
    assert [sector.number for sector in less.sectors if not sector.values] == [4]


def test_ripples_are_counted_once_round_the_clock(make_ring):
    for spacing_mm in (1.7, 2.13, 3.9):
        ring = make_ring(spacing_mm=spacing_mm)
        whole = ring.joined().whole_weld
        assert abs(whole.crest_count - ring.crests) <= 0.01 * ring.crests
        assert len(whole.crests) == whole.crest_count


def test_the_count_says_its_uncertainty_and_bridges_a_short_stretch_without_crests(make_ring):
    ring = make_ring()
    bare = [
        replace(
            result,
            ripples=tuple(
                ripple
                for ripple in result.ripples
                if not 20.0 < (ripple.place_mm[0] + shift_mm) % ring.girth_mm < 40.0
            ),
        )
        for result in ring.results()
        for shift_mm in [ring.shifts_mm[result.photos[0].frame.parts[0].segment]]
    ]
    whole = join(bare, coupon=ring.coupon).whole_weld
    assert abs(whole.crest_count - ring.crests) <= whole.crest_count_U < 0.03 * ring.crests
    assert whole.crest_count_words.startswith(f"{whole.crest_count} ripples all the way round (U ")


def test_a_photo_given_twice_counts_once(make_ring):
    ring = make_ring()
    photos = ring.results()
    again = replace(photos[4], photos=(replace(photos[4].photos[0], file="copy.jpg"),))
    joined = join([*photos, again], coupon=ring.coupon)
    (left_out,) = joined.whole_weld.left_out
    assert (left_out.photo, left_out.code) == (7, "duplicate")
    assert "ring-4.jpg" in left_out.reason
    assert "duplicate" in {problem.code for problem in joined.photos[7].problems}
    assert_allclose(
        [s.weld_width_mm for s in joined.whole_weld.stations],
        [s.weld_width_mm for s in join(photos, coupon=ring.coupon).whole_weld.stations],
    )


def test_a_photo_given_twice_does_not_weigh_in_the_width_that_limits_depend_on(make_ring):
    ring = make_ring()
    photos = ring.results()
    wide = replace(
        photos[4],
        photos=(replace(photos[4].photos[0], file="copy.jpg"),),
        quantities=tuple(replace(each, value=3.0 * each.value) for each in photos[4].quantities),
    )
    crown = Quantity(
        name=QuantityName.FACE_REINFORCEMENT,
        statistic=Statistic.MAX,
        value=1.4,
        unit=Unit.MM,
        count=1,
        budget=(Component(source="line", standard_uncertainty=0.05, scope=Scope.PHOTO),),
        s_range_mm=(10.0, 10.0),
    )
    line = replace(
        photos[0],
        photos=(replace(photos[0].photos[0], file="line.jpg", kind="light-line", frame=None),),
        stations=(),
        ripples=(),
        quantities=quantity_records([crown], Whose.one(0)),
    )

    def limit_mm(*takes):
        cap = replace(ring.coupon, weld_pass=WeldPass.CAP)
        checks = join(takes, coupon=cap, limits="iso-5817-c").checks
        (found,) = {each.limit for each in checks if each.name == "face_reinforcement"}
        return found

    # ISO 5817 level C: 1 mm and 0.15 b, b the width.
    assert limit_mm(wide, line) > 1.5 * limit_mm(photos[4], line)
    assert_allclose(limit_mm(*photos, wide, line), limit_mm(*photos, line), rtol=1e-12)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"toe_mm": -8.5}, "toes lie 2.5 mm elsewhere"),
        ({"true_mm": 168.3}, "a pipe of another size"),
        ({"shifts_mm": (0.0, 1.2, -0.1)}, "glued joint lies"),
    ],
)
def test_a_photo_of_another_coupon_is_named(make_ring, changes, words):
    ring = make_ring(photos=14)
    stranger = make_ring(photos=14, **changes).photo(4, file="stranger.jpg")
    record = replace(stranger.photos[0], tilt_deg=11.3)
    stranger = replace(stranger, photos=(record,))
    photos = ring.results()
    whole = join([*photos[:4], stranger, *photos[4:]], coupon=ring.coupon).whole_weld
    (left_out,) = whole.left_out
    assert (left_out.photo, left_out.code) == (4, "not_belonging")
    assert words in left_out.reason
    assert whole.closure.fault == "none"


def test_two_photos_that_contradict_each_other_alone_are_both_left_out(make_ring):
    ring = make_ring()
    stranger = make_ring(toe_mm=-8.5).photo(2, file="stranger.jpg")
    photos = [ring.photo(1), stranger, ring.photo(4), ring.photo(5)]
    joined = join(photos, coupon=ring.coupon)
    whole = joined.whole_weld
    assert whole.photos == (2, 3)
    assert [each.photo for each in whole.left_out] == [0, 1]
    assert "That photo is stranger.jpg, and nothing tells" in whole.left_out[0].reason
    assert "That photo is ring-1.jpg, and nothing tells" in whole.left_out[1].reason
    assert joined.photos[0].problems[-1].code == "not_belonging"


def test_sectors_hold_what_the_weld_is_there(make_ring):
    ring = make_ring()
    whole = ring.joined().whole_weld
    arcs = np.arange(0.0, ring.girth_mm, 0.5)
    assert len(whole.sectors) == 12
    for sector in whole.sectors:
        assert_allclose(sector.middle_clock_deg, 30.0 * sector.number, atol=1e-6)
        into = np.mod(arcs - sector.from_arc_mm, ring.girth_mm) < ring.girth_mm / 12.0
        widths = ring.width_at(arcs[into])
        (mean,) = [v for v in sector.values if (v.name, v.statistic) == ("weld_width", "mean")]
        assert abs(mean.value - widths.mean()) <= min(0.05, mean.expanded_uncertainty)
        (spacing,) = [
            v for v in sector.values if (v.name, v.statistic) == ("ripple_spacing", "mean")
        ]
        assert abs(spacing.value - ring.girth_mm / ring.crests) <= spacing.expanded_uncertainty


def test_as_many_sectors_as_are_asked_for(make_ring):
    ring = make_ring()
    whole = join(ring.results(), coupon=ring.coupon, sectors=8).whole_weld
    assert [sector.middle_clock_deg for sector in whole.sectors] == pytest.approx(
        [45.0 * k for k in range(8)]
    )


def test_halves_that_differ_are_told_apart(make_ring):
    """The second half, from 6 through 9 to 12 o'clock, is 0.8 mm wider."""
    ring = make_ring(step_mm=0.8, step_at_mm=0.5 * math.pi * 219.1, wave_mm=0.0)
    halves = {(each.name, each.statistic): each for each in ring.joined().whole_weld.halves}
    width = halves["weld_width", "mean"]
    assert abs(width.difference + 0.8) <= width.expanded_uncertainty
    assert "narrower than on the other half" in width.words
    assert halves["ripple_spacing", "mean"].words.startswith("No difference")
    flat = replace(ring.coupon, progression=None)
    assert join(ring.results(), coupon=flat).whole_weld.halves == ()


def test_a_step_of_the_width_is_a_candidate_for_a_restart(make_ring):
    # The step is at 250 mm, and back again at 12 o'clock.
    ring = make_ring(step_mm=0.7, noise_mm=0.06, wander_mm=0.05)
    found = ring.joined().whole_weld.start_stops
    for true_mm, kind in ((250.0, "tie-in"), (0.0, "stop")):
        near = [
            each
            for each in found
            if abs((each.arc_mm - true_mm + 344.0) % ring.girth_mm - 344.0) <= 5.0
        ]
        assert [each.kind for each in near] == [kind]
        assert near[0].doubt < 0.6
    assert len(found) <= 4


def test_where_the_ripples_turn_over_two_runs_meet(make_ring):
    # One place short of 6 o'clock, one behind 12, as halves welded over each other's ends meet.
    ring = make_ring(meet_at_mm=(6.2, 336.9), noise_mm=0.06, wander_mm=0.05)
    found = [each for each in ring.joined().whole_weld.start_stops if each.signs[0] == "bow_turn"]
    assert [each.kind for each in found] == ["stop", "start"]
    for each, true_mm in zip(found, (6.2, 336.9), strict=True):
        assert abs(each.arc_mm - true_mm) <= min(each.arc_U_mm, ring.spacing_mm)
        assert each.doubt <= 0.3
        assert "the ripples turn over" in each.words


def test_a_weld_whose_halves_are_not_said_and_that_goes_on_evenly_has_hardly_a_candidate(make_ring):
    ring = make_ring(noise_mm=0.06, wander_mm=0.05)
    coupon = replace(ring.coupon, progression=None)
    assert len(join(ring.results(), coupon=coupon).whole_weld.start_stops) <= 1


def test_what_no_photo_shows_makes_nothing_of_what_two_show(make_ring):
    """Most of the turn unseen: swings are those of the weld, not of the gap beside it."""
    ring = make_ring(noise_mm=0.06, wander_mm=0.05)
    coupon = replace(ring.coupon, progression=None)
    results = ring.results(without=(0, 3, 4, 5, 6))
    shaken = [
        replace(
            result,
            ripples=tuple(
                replace(ripple, place_mm=(x + ring.generator.normal() * 0.2, y))
                for ripple in result.ripples
                for x, y in [ripple.place_mm]
            ),
        )
        for result in results
    ]
    assert len(join(shaken, coupon=coupon).whole_weld.start_stops) <= 1


def test_where_the_width_leaves_its_limit_is_told_with_by_how_much(make_ring):
    """Common practice asks for no more than 1.6 mm from the mean; a third of the weld is wider."""
    ring = make_ring(step_mm=3.2, step_at_mm=460.0, wave_mm=0.0, noise_mm=0.02)
    whole = ring.joined().whole_weld
    over = [each for each in whole.beyond_limits if each.sure]
    (record,) = [each for each in over if each.worst_value > 10.0]
    mean_mm = 8.0 + 3.2 * (ring.girth_mm - 460.0) / ring.girth_mm
    assert record.limit == 1.6
    assert_allclose(record.beyond, 11.2 - mean_mm - 1.6, atol=0.1)
    assert_allclose(record.from_arc_mm, 460.0, atol=2.0)
    assert_allclose(record.to_arc_mm, ring.girth_mm, atol=2.0)


def test_values_of_the_whole_stand_for_the_coupon_and_keep_the_scale(make_ring):
    joined = make_ring().joined()
    own = [q for q in joined.quantities if q.scope == "coupon"]
    mean = next(q for q in own if (q.name, q.statistic) == ("weld_width", "mean"))
    assert mean.photo is None
    assert mean.photos == tuple(range(7))
    (scale,) = [c for c in mean.budget if c.scope == "print"]
    # Scale does not average out over seven photos.
    whole_ratio = joined.whole_weld.closure.scale_U_ratio
    assert_allclose(scale.standard_uncertainty, 0.5 * whole_ratio * mean.value, rtol=1e-6)
    assert any(check.photos == mean.photos for check in joined.checks)


def test_toes_are_high_and_low_where_the_strip_s_side_is_said(make_ring):
    ring = make_ring()
    whole = ring.joined().whole_weld
    assert (whole.left_is, whole.right_is) == (None, None)
    coupon = replace(ring.coupon, strip_side=StripSide.LOW)
    whole = join(ring.results(), coupon=coupon).whole_weld
    # The right toe, facing along the strip, lies beside it.
    assert (whole.left_is, whole.right_is) == ("high side", "low side")


def inside(ring):
    """The results of a ring as a strip in a bore gives them: its clock runs against it."""
    return [
        replace(
            result,
            photos=tuple(
                replace(photo, frame=replace(photo.frame, clock_sense=-1))
                for photo in result.photos
            ),
        )
        for result in ring.results()
    ]


def root_side(bore_mm):
    return Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=bore_mm + 20.62,
        wall_thickness_mm=10.31,
        weld_pass=WeldPass.ROOT_SIDE,
    )


def test_a_root_is_joined_round_the_bore_and_its_clock_runs_against_the_strip(make_ring):
    # NPS 8 SCH 60 by ASME B36.10M: a bore of 198.48 mm.
    ring = make_ring(true_mm=198.48, entered_mm=198.48)
    whole = join(inside(ring), coupon=root_side(198.48)).whole_weld
    assert whole.outside_diameter_mm is None
    assert_allclose(whole.bore_mm, 198.48, rtol=0.002)
    assert_allclose(whole.length_mm, ring.girth_mm, atol=whole.length_U_mm)
    assert whole.closure.fault == "none"
    along = sorted(whole.stations, key=lambda each: each.arc_mm)
    quarter = along[len(along) // 4]
    assert_allclose(quarter.clock_deg, 360.0 - 360.0 * quarter.arc_mm / ring.girth_mm, atol=0.5)


def test_a_bore_that_is_off_is_named_a_bore(make_ring):
    ring = make_ring(true_mm=202.5, entered_mm=198.48, bar_measured=True)
    closure = join(inside(ring), coupon=root_side(198.48)).whole_weld.closure
    assert closure.fault == "diameter"
    assert "mm in bore: measure the bore" in closure.words
