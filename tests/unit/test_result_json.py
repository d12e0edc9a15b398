"""The result goes to JSON and comes back unchanged, as its published schema says."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.coupon import Coupon, Process, PulseTimes, Shape, TimesAre, WeldPass
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.limits import Finding, check, load_limit_set
from beadcheck.quantity import (
    Component,
    NotMeasured,
    Quantity,
    QuantityName,
    Scope,
    Side,
    Statistic,
)
from beadcheck.result import (
    CAUTION,
    AdviceRecord,
    CheckRecord,
    ComponentRecord,
    CouponRecord,
    NotMeasuredRecord,
    PhotoRecord,
    ProblemRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
    Whose,
    check_records,
    coupon_record,
    not_measured_records,
    quantity_records,
    result_from_json,
    result_schema,
    result_to_json,
)
from beadcheck.units import Unit

numbers = st.floats(allow_nan=False, allow_infinity=False)
words = st.text(max_size=12)
points = st.tuples(numbers, numbers)
indices = st.integers(0, 50)


def some(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[tuple[object, ...]]:
    return st.lists(strategy, max_size=2).map(tuple)


def maybe(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.none() | strategy


coupons = st.builds(
    CouponRecord,
    shape=words,
    outside_diameter_mm=maybe(numbers),
    wall_thickness_mm=maybe(numbers),
    weld_pass=maybe(words),
    process=maybe(words),
    peak_time_s=maybe(numbers),
)
photos = st.builds(
    PhotoRecord,
    file=words,
    kind=words,
    usable=st.booleans(),
    px_per_mm=maybe(numbers),
    tilt_deg=maybe(numbers),
    distance_mm=maybe(numbers),
    problems=some(st.builds(ProblemRecord, code=words, message=words)),
    target=maybe(words),
    without_target=st.booleans(),
)
stations = st.builds(
    StationRecord,
    photo=indices,
    s_mm=maybe(numbers),
    s_px=maybe(numbers),
    clock_deg=maybe(numbers),
    left_toe_px=points,
    right_toe_px=points,
    weld_width_mm=maybe(numbers),
    weld_width_U_mm=maybe(numbers),
    weld_width_px=maybe(numbers),
    weld_width_U_px=maybe(numbers),
    sure=st.booleans(),
    steady=st.booleans(),
)
components = st.builds(ComponentRecord, source=words, standard_uncertainty=numbers, scope=words)
quantities = st.builds(
    QuantityRecord,
    name=words,
    statistic=words,
    value=numbers,
    unit=words,
    expanded_uncertainty=numbers,
    coverage_factor=numbers,
    count=indices,
    scope=st.sampled_from(["photo", "coupon"]),
    photo=maybe(indices),
    side=maybe(words),
    s_range_mm=maybe(points),
    s_range_px=maybe(points),
    budget=some(components),
)
checks = st.builds(
    CheckRecord,
    name=words,
    finding=st.sampled_from(Finding),
    value=maybe(numbers),
    limit=maybe(numbers),
    unit=words,
    source=words,
    sense=st.sampled_from(["at most", "at least"]),
    note=words,
)
results = st.builds(
    Result,
    coupon=coupons,
    photos=some(photos),
    stations=some(stations),
    ripples=some(
        st.builds(RippleRecord, photo=indices, s_mm=maybe(numbers), s_px=maybe(numbers), px=points)
    ),
    quantities=some(quantities),
    not_measured=some(
        st.builds(NotMeasuredRecord, name=words, reason=words, how_to=words, photo=maybe(indices))
    ),
    checks=some(checks),
    advice=some(st.builds(AdviceRecord, symptom=words, change=words, why=words)),
    limits=maybe(words),
)
few = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SCHEMA = result_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


@few
@given(result=results)
def test_a_result_comes_back_unchanged_and_fits_its_schema(result: Result) -> None:
    text = result_to_json(result)
    assert result_from_json(text) == result
    VALIDATOR.validate(json.loads(text))


def a_result() -> Result:
    coupon = Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=219.1,
        wall_thickness_mm=10.3,
        process=Process.GTAW_PULSED,
        weld_pass=WeldPass.CAP,
        pulse=PulseTimes(peak_s=0.3, background_s=0.7, times_are=TimesAre.SECONDS),
    )
    measured = [
        Quantity(
            name=QuantityName.WELD_WIDTH,
            statistic=statistic,
            value=value,
            unit=Unit.MM,
            count=61,
            budget=(Component(source="toes", standard_uncertainty=0.09, scope=Scope.STATION),),
            s_range_mm=(4.0, 65.0),
            side=Side.LEFT if statistic is Statistic.SD else None,
        )
        for statistic, value in (
            (Statistic.MEAN, 9.91),
            (Statistic.SD, 0.2),
            (Statistic.MIN, 9.0),
            (Statistic.MAX, 12.5),
        )
    ]
    missing = [
        NotMeasured(name=QuantityName.FACE_REINFORCEMENT, reason="No height.", how_to="Gauge it.")
    ]
    limit_set = load_limit_set("pipe-coupon")
    compared = check(measured, missing, limit_set=limit_set, coupon=coupon)
    return Result(
        coupon=coupon_record(coupon),
        photos=(
            PhotoRecord(
                file="a.jpg",
                kind="face",
                usable=True,
                px_per_mm=21.3,
                tilt_deg=8.1,
                distance_mm=205.0,
                problems=(),
            ),
        ),
        quantities=quantity_records(measured, Whose.one(0)),
        not_measured=not_measured_records(missing, Whose.one(0)),
        checks=check_records(compared, Whose.one(0)),
        limits=limit_set.title,
    )


def test_the_keys_that_stay_are_there_with_their_words() -> None:
    written = json.loads(result_to_json(a_result()))
    assert next(iter(written.items())) == ("format", "beadcheck-result/1")
    assert written["caution"] == CAUTION
    coupon = written["coupon"]
    assert (coupon["shape"], coupon["pass"], coupon["wall_thickness_mm"]) == ("pipe", "cap", 10.3)
    width = written["quantities"][0]
    assert width["name"] == "weld_width"
    assert width["statistic"] == "mean"
    assert width["unit"] == "mm"
    assert width["coverage_factor"] == 2
    assert width["expanded_uncertainty"] == pytest.approx(0.18)
    assert width["scope"] == "photo"
    assert written["quantities"][1]["side"] == "left"
    findings = {(each["name"], each["statistic"]): each["finding"] for each in written["checks"]}
    assert findings["weld_width", "max - mean"] == "outside"
    assert findings["weld_width", "mean - min"] == "within"
    assert findings["face_reinforcement", "max"] == "not measured"
    VALIDATOR.validate(written)


FIXED_KEYS = {
    "Result": (
        "format coupon photos stations ripples profiles quantities not_measured checks advice "
        "caution"
    ),
    "CouponRecord": "shape outside_diameter_mm wall_thickness_mm pass",
    "PhotoRecord": "file kind usable px_per_mm tilt_deg distance_mm problems",
    "ProblemRecord": "code message",
    "StationRecord": (
        "photo s_mm clock_deg left_toe_px right_toe_px weld_width_mm weld_width_U_mm sure "
        "face_reinforcement_mm"
    ),
    "RippleRecord": "photo s_mm px",
    "QuantityRecord": (
        "name statistic value unit expanded_uncertainty coverage_factor count scope photo side "
        "s_range_mm"
    ),
    "NotMeasuredRecord": "name reason how_to",
    "CheckRecord": "name finding value limit unit source",
    "AdviceRecord": "symptom change why",
}


def test_the_schema_is_sound_and_demands_and_describes_every_fixed_key() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"].endswith("2020-12/schema")
    assert SCHEMA["$id"]
    assert "beadcheck-result/1" in SCHEMA["title"]
    for record, keys in FIXED_KEYS.items():
        table = SCHEMA if record == "Result" else SCHEMA["$defs"][record]
        assert set(keys.split()) <= set(table["required"])
        for key, described in table["properties"].items():
            assert described["description"], f"{record}.{key}"


def test_a_number_that_is_none_is_never_written() -> None:
    for bad in (float("nan"), float("inf")):
        photo = replace(a_result().photos[0], tilt_deg=bad)
        with pytest.raises(ValueError, match="JSON compliant"):
            result_to_json(replace(a_result(), photos=(photo,)))


def test_keys_of_a_later_version_are_ignored() -> None:
    written = json.loads(result_to_json(a_result()))
    written["later"] = [1, 2]
    written["photos"][0]["later"] = "x"
    assert result_from_json(json.dumps(written)) == a_result()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda written: written.pop("coupon"), "coupon"),
        (lambda written: written.update(format="beadcheck-result/9"), "beadcheck-result/1"),
        (lambda written: written["photos"][0].update(px_per_mm="21"), "photos.0.px_per_mm"),
        (lambda written: written["photos"][0].update(px_per_mm=float("nan")), "px_per_mm"),
        (lambda written: written["checks"][0].update(finding="pass"), "checks.0.finding"),
    ],
)
def test_a_wrong_result_is_refused_with_its_place(
    change: Callable[[dict[str, Any]], object], words: str
) -> None:
    written = json.loads(result_to_json(a_result()))
    change(written)
    with pytest.raises(InputFileError, match=words):
        result_from_json(json.dumps(written))


@few
@given(text=st.text(max_size=40) | st.sampled_from(["[" * 100_000, "{}", "null", "1e999"]))
def test_any_text_is_a_result_or_is_refused(text: str) -> None:
    with pytest.raises(BeadcheckError) as caught:
        result_from_json(text)
    assert "\n" not in str(caught.value)
