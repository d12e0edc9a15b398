"""A photo without a target: pixels and shares, never a millimetre; the rest is not measured."""

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

import jsonschema
import numpy as np
import pytest

from beadcheck.coupon import Coupon, Process, PulseTimes, Shape, TimesAre
from beadcheck.errors.bead import NoWeldInPictureError, WeldShortInPictureError
from beadcheck.measurements.evenness import evenness_quantities
from beadcheck.measurements.width import width_quantities
from beadcheck.pipeline import Pointer, Request, measure, takes_of
from beadcheck.pipeline.without_target import without_scale
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Statistic
from beadcheck.result import Result, result_from_json, result_schema, result_to_json
from beadcheck.surface import UnscaledSurface, unscaled_surface
from beadcheck.toes import Toes, ToeUncertainty
from beadcheck.units import Unit

SAMPLES = Path(__file__).parents[2] / "samples"
PULSED = Coupon(
    process=Process.GTAW_PULSED,
    pulse=PulseTimes(peak_s=0.5, background_s=0.5, times_are=TimesAre.SECONDS),
)
NO_RIPPLES = NotMeasured(
    name=QuantityName.RIPPLE_SPACING, reason="None were drawn.", how_to="Draw some."
)


@cache
def measured(name: str, coupon: Coupon = PULSED) -> Result:
    request = Request(
        takes=takes_of((SAMPLES / f"{name}.jpg",)), coupon=coupon, without_target=True
    )
    return measure(request)


def only(result: Result, name: str, statistic: str, unit: str, side: str | None = None) -> float:
    (found,) = (
        each.value
        for each in result.quantities
        if (each.name, each.statistic, each.unit, each.side) == (name, statistic, unit, side)
    )
    return found


def leaves(node: object, place: str = "") -> Iterator[tuple[str, object]]:
    """Every value of a JSON document that holds no others, with the keys that lead to it."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, f"{place}.{key}")
    elif isinstance(node, list):
        for value in node:
            yield from leaves(value, place)
    else:
        yield place, node


@pytest.mark.parametrize("name", ["plate-smaw-no-target", "plate-gtaw-pulsed"])
def test_nothing_in_the_result_is_in_millimetres(name: str) -> None:
    result = measured(name)
    assert result.photos[0].usable
    assert result.photos[0].without_target
    # A rate of pulses holds no length.
    assert {each.unit for each in result.quantities} == {"px", "ratio", "Hz"}
    text = json.loads(result_to_json(result))
    jsonschema.Draft202012Validator(result_schema()).validate(text)
    assert result_from_json(result_to_json(result)) == result
    for place, value in leaves(text):
        assert value is None or not re.search(r"_mm\b", place), (place, value)
        if isinstance(value, str):
            assert not re.search(r"\b(mm|millimetres?|inch(es)?)\b", value), (place, value)
    for station in text["stations"]:
        assert station["weld_width_px"] > 0.0
        assert station["weld_width_U_px"] > 0.0
        assert station["clock_deg"] is None


def test_the_pixels_are_those_between_the_toes_in_the_photo() -> None:
    result = measured("plate-smaw-no-target")
    for station in result.stations:
        straight = np.hypot(*np.subtract(station.right_toe_px, station.left_toe_px))
        # The toes' line is straight across the weld, so this is the width itself.
        assert station.weld_width_px == pytest.approx(straight, abs=1e-6)
    used = [s.weld_width_px for s in result.stations if s.sure and s.steady]
    assert only(result, "weld_width", "mean", "px") == pytest.approx(np.mean(used), rel=1e-9)
    assert only(result, "weld_width", "min", "px") == pytest.approx(min(used), rel=1e-9)
    steps = np.diff([s.s_px for s in result.stations])
    np.testing.assert_allclose(steps, steps[0], rtol=1e-6)
    assert steps[0] == pytest.approx(np.mean(used) / 8.0, rel=0.05)


ALIKE: Final = (
    "weld finder, mean error in this light",
    "unknown tone curve of the camera",
    "definition of the toe",
)


def test_shares_are_of_the_mean_width_and_of_the_mean_spacing() -> None:
    result = measured("plate-gtaw-pulsed")
    wholes = {
        "weld_width": only(result, "weld_width", "mean", "px"),
        "toe_waviness": only(result, "weld_width", "mean", "px"),
        "ripple_spacing": only(result, "ripple_spacing", "mean", "px"),
    }
    shares = [each for each in result.quantities if each.unit == "ratio"]
    assert {each.name for each in shares} == {*wholes, "pulse_overlap"}
    for share in shares:
        if share.name == "pulse_overlap":
            continue
        (length,) = (
            each
            for each in result.quantities
            if (each.name, each.statistic, each.side) == (share.name, share.statistic, share.side)
            and each.unit == "px"
        )
        whole = wholes[share.name]
        assert share.value == pytest.approx(length.value / whole, rel=1e-9)
        # What shifts every width alike shifts the mean too: it counts less in a share, never more.
        assert share.expanded_uncertainty <= length.expanded_uncertainty / whole * (1.0 + 1e-9)
        own = [c for c in length.budget if c.source not in ALIKE]
        kept = [c for c in share.budget if c.source not in ALIKE]
        np.testing.assert_allclose(
            [c.standard_uncertainty for c in kept],
            [c.standard_uncertainty / whole for c in own],
            rtol=1e-9,
        )
        assert share.s_range_px == length.s_range_px


def test_what_needs_a_scale_is_not_measured_and_says_so() -> None:
    missing = {each.name: each for each in measured("plate-gtaw-pulsed").not_measured}
    assert "scale" in missing["travel_speed"].reason
    assert "target" in missing["travel_speed"].how_to
    assert "centreline_deviation" in missing
    assert {each.name for each in measured("plate-gtaw-pulsed").quantities}.isdisjoint(missing)


def test_a_pipe_may_be_named_but_gives_no_clock_and_no_other_number() -> None:
    pipe = Coupon(shape=Shape.PIPE, outside_diameter_mm=168.3)
    named = measured("pipe-smaw-weave", pipe)
    plain = measured("pipe-smaw-weave", Coupon())
    assert named.coupon.outside_diameter_mm == 168.3
    assert named.photos[0].outside_diameter_mm is None
    assert named.stations == plain.stations
    assert named.quantities == plain.quantities


def test_no_limit_on_a_length_is_checked() -> None:
    assert measured("plate-smaw-no-target").checks == ()


def test_ends_may_be_pointed_at() -> None:
    found = measured("plate-smaw-no-target")
    ends = [np.add(s.left_toe_px, s.right_toe_px) / 2.0 for s in found.stations[3:-3:500]]
    ends.append(np.add(found.stations[-4].left_toe_px, found.stations[-4].right_toe_px) / 2.0)
    start, end = (tuple(map(float, each)) for each in ends)
    request = Request(
        takes=takes_of((SAMPLES / "plate-smaw-no-target.jpg",)),
        along=Pointer(start_px=(start[0], start[1]), end_px=(end[0], end[1])),
        without_target=True,
    )
    pointed = measure(request)
    assert only(pointed, "weld_width", "mean", "px") == pytest.approx(
        only(found, "weld_width", "mean", "px"), rel=0.02
    )


STATIONS = 71


def drawn_toes(*, slope: float = 0.0, length: int = STATIONS) -> tuple[Toes, UnscaledSurface]:
    """Toes of an even weld, 8 units wide, that widens steadily as on a slanted plate."""
    line_px = np.stack([np.linspace(300.0, 2300.0, 500), np.linspace(900.0, 1400.0, 500)], axis=1)
    surface = unscaled_surface(line_px, np.ones(500), 120.0, 1500.0)
    s = 5.0 + np.arange(length)
    half = 4.0 + 0.5 * slope * (s - s.mean())
    left, right = np.stack([s, -half], axis=1), np.stack([s, half], axis=1)
    toes = Toes(
        s_mm=s,
        left_mm=left,
        right_mm=right,
        left_px=surface.to_px(left),
        right_px=surface.to_px(right),
        u_left_mm=np.full(length, 0.02),
        u_right_mm=np.full(length, 0.02),
        hand_u_left_mm=np.zeros(length),
        hand_u_right_mm=np.zeros(length),
        sure=np.ones(length, dtype=bool),
        steady=np.ones(length, dtype=bool),
        correlation_mm=1.0,
        shared=ToeUncertainty(tone_curve_mm=0.0, definition_mm=0.0, finder_width_mm=0.07),
    )
    return toes, surface


def unscaled(toes: Toes, surface: UnscaledSurface) -> list[Quantity | NotMeasured]:
    found = (*width_quantities(toes), *evenness_quantities(toes))
    return without_scale(found, toes, NO_RIPPLES, surface)


def test_a_steady_change_of_width_may_be_the_view_and_its_u_says_so() -> None:
    for slope in (0.0, 0.02, -0.02):
        toes, surface = drawn_toes(slope=slope)
        for unit, whole in ((Unit.PX, surface.px_per_unit), (Unit.RATIO, 1.0 / 8.0)):
            (spread,) = (
                each
                for each in unscaled(toes, surface)
                if isinstance(each, Quantity)
                and (each.name, each.statistic) == (QuantityName.WELD_WIDTH, Statistic.SD)
                and each.unit is unit
            )
            seen = abs(slope) * float(toes.s_mm.std()) * whole
            assert spread.value == pytest.approx(seen, rel=0.05, abs=1e-9)
            assert spread.expanded_uncertainty >= seen


def test_a_weld_too_short_for_waviness_is_told_in_weld_widths() -> None:
    toes, surface = drawn_toes(length=18)
    (left, right) = (
        each for each in unscaled(toes, surface) if each.name is QuantityName.TOE_WAVINESS
    )
    for each in (left, right):
        assert isinstance(each, NotMeasured)
        assert "3 times the weld width" in each.reason


def test_a_weld_that_shows_too_little_of_itself_is_told_in_widths() -> None:
    assert "2.5 times its width" in str(WeldShortInPictureError(2.5))
    assert "mm" not in str(WeldShortInPictureError(2.5))


def test_no_refusal_speaks_of_a_target_that_nobody_asked_for() -> None:
    # Heat tint without a weld: refused where the weld is looked for, or where its toes are.
    result = measure(Request(takes=takes_of((SAMPLES / "plate-no-weld.jpg",)), without_target=True))
    assert not result.photos[0].usable
    assert result.photos[0].without_target
    (problem,) = result.photos[0].problems
    assert problem.code == NoWeldInPictureError.code
    assert "target" not in problem.message
    (width,) = (each for each in result.not_measured if each.name == "weld_width")
    assert width.reason == NoWeldInPictureError.problem
