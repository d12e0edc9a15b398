"""Overlap both ways round, weave, and what refuses to be worked out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.arc import Reading, travel_remark
from beadcheck.arc.power import mean_current_a, mean_power_w
from beadcheck.arc.pulses import (
    background_for_overlap_s,
    overlap_ratio,
    pulses_per_ripple,
    refuse_restless_weave,
    spots_step_mm,
    travel_for_overlap_mm,
)
from beadcheck.arc.reading import Effect
from beadcheck.arc.travel import speed_of_ripples_mm_s
from beadcheck.coupon import Process, RippleLine, TorchMotion, Weave
from beadcheck.errors.arc import (
    NoBackgroundLeftError,
    OverlapBeyondReachError,
    RipplesOfWeaveError,
    WeaveWithoutPausesError,
)
from beadcheck.quantity import Scope
from beadcheck.units import Unit

spots = st.floats(0.5, 12.0)
shares = st.floats(0.02, 0.98)
motions = st.sampled_from(TorchMotion)


@given(wanted=st.floats(0.0, 0.99), spot_mm=spots, share=shares, motion=motions)
def test_the_travel_for_an_overlap_gives_that_overlap(wanted, spot_mm, share, motion) -> None:
    travel_mm = travel_for_overlap_mm(wanted, spot_mm, share, motion)
    # Floating point alone.
    assert_allclose(overlap_ratio(spot_mm, travel_mm, share, motion), wanted, atol=1e-9)


@given(spot_mm=spots, travel_mm=st.floats(0.05, 20.0), share=shares)
def test_a_stretched_spot_overlaps_more_than_a_standing_one(spot_mm, travel_mm, share) -> None:
    standing = overlap_ratio(spot_mm, travel_mm, share, TorchMotion.STEPPED)
    assert overlap_ratio(spot_mm, travel_mm, share, TorchMotion.STEADY) > standing
    assert (standing < 0.0) == (travel_mm > spot_mm)


@given(travel_share=st.floats(0.05, 0.95), share=shares, spot_mm=spots, speed=st.floats(0.5, 5.0))
@pytest.mark.parametrize("motion", TorchMotion)
def test_the_background_for_an_overlap_gives_that_overlap(
    travel_share, share, spot_mm, speed, motion
) -> None:
    # Built from a cycle that there is, so that a background is always left.
    period_s = travel_share * spot_mm / speed
    wanted = overlap_ratio(spot_mm, speed * period_s, share, motion)
    background_s = background_for_overlap_s(
        wanted, spot_mm, speed_mm_s=speed, peak_s=share * period_s, motion=motion
    )
    # Floating point alone.
    assert_allclose(background_s, (1.0 - share) * period_s, rtol=1e-9)


@pytest.mark.parametrize("motion", TorchMotion)
def test_pulses_that_would_follow_faster_than_the_peak_lets_them_are_refused(motion) -> None:
    # By hand: 90 % on 4 mm at 3 mm/s: 0.4 / 3 s, or with the stretch (0.4 + 0.12) / 3 s.
    with pytest.raises(NoBackgroundLeftError, match="Travel more slowly"):
        background_for_overlap_s(0.9, 4.0, speed_mm_s=3.0, peak_s=0.4, motion=motion)


@pytest.mark.parametrize("wanted", [-0.1, 1.0, 1.5, float("nan")])
def test_an_overlap_that_no_travel_gives_is_refused(wanted: float) -> None:
    with pytest.raises(OverlapBeyondReachError):
        travel_for_overlap_mm(wanted, 4.0, 0.5, TorchMotion.STEPPED)


def test_without_a_weave_every_ripple_is_a_pulse() -> None:
    assert [pulses_per_ripple(Weave.NONE, line) for line in RippleLine] == [1, 1]


def test_an_edge_of_a_weave_gets_every_second_pulse_and_the_middle_line_is_refused() -> None:
    assert pulses_per_ripple(Weave.ALTERNATING, RippleLine.EDGE) == 2
    # By hand: ripples 3.0 mm apart along an edge, two pulses of 0.75 s: 3.0 / 1.5 s.
    assert_allclose(speed_of_ripples_mm_s(3.0, 0.75, 2), 2.0)
    assert_allclose(spots_step_mm(1.5, Weave.ALTERNATING), 3.0)
    with pytest.raises(RipplesOfWeaveError, match="along one edge"):
        pulses_per_ripple(Weave.ALTERNATING, RippleLine.MIDDLE)


def test_a_weave_of_a_torch_that_never_stands_is_refused() -> None:
    with pytest.raises(WeaveWithoutPausesError):
        refuse_restless_weave(Weave.ALTERNATING, TorchMotion.STEADY)
    refuse_restless_weave(Weave.NONE, TorchMotion.STEADY)
    refuse_restless_weave(Weave.ALTERNATING, TorchMotion.STEPPED)


def test_mean_power_is_not_the_product_of_the_means() -> None:
    # By hand: 0.4 * 150 * 13 + 0.6 * 40 * 9 = 780 + 216 W; means 84 A and 10.6 V make 890.4 W.
    assert_allclose(mean_power_w(150.0, 13.0, 40.0, 9.0, 0.4), 996.0)
    assert_allclose(mean_current_a(150.0, 40.0, 0.4) * (0.4 * 13.0 + 0.6 * 9.0), 890.4)


def speed(mm_min: float, expanded_mm_min: float) -> Reading:
    effect = Effect(source="all", swing=expanded_mm_min / 120.0, scope=Scope.PHOTO)
    return Reading(value=mm_min / 60.0, unit=Unit.MM_PER_S, effects=(effect,))


@pytest.mark.parametrize(
    ("process", "mm_min", "expanded", "word"),
    [
        (Process.GTAW_PULSED, 120.0, 5.0, ""),
        (Process.GTAW_PULSED, 230.0, 10.0, "faster"),
        (Process.GTAW_PULSED, 210.0, 10.0, ""),
        (Process.GTAW, 30.0, 5.0, "slower"),
        (Process.SMAW, 230.0, 10.0, ""),
        (Process.SMAW, 60.0, 5.0, "slower"),
        (Process.GMAW, 900.0, 5.0, ""),
        (None, 900.0, 5.0, ""),
    ],
)
def test_travel_that_is_surely_unusual_gets_a_remark(process, mm_min, expanded, word) -> None:
    remark = travel_remark(speed(mm_min, expanded), process)
    assert word in remark
    assert bool(remark) == bool(word)
