"""Profiles become records, stations and quantities, whichever way they were measured."""

import json
from dataclasses import replace

import jsonschema
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.errors import BeadcheckError
from beadcheck.errors.profile_light import NoLightLineError
from beadcheck.limits import load_limit_set
from beadcheck.measurements.profile import height_names
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.outcome import Outcome, Reading, photo_record, result_of
from beadcheck.pipeline.request import Request
from beadcheck.pipeline.sections import (
    heights_refused,
    nothing_read,
    profile_records,
    read_sections,
    section_stations,
)
from beadcheck.profiles import Profile, ProfileMethod
from beadcheck.quantity import Component, Scope
from beadcheck.result import Whose, result_schema, result_to_json

LEFT_MM, RIGHT_MM = 7.3, 16.9
"""Toes, on a scale whose zero lies anywhere."""
PX_PER_MM = 18.7
NOISE_MM = 0.02


def profile(
    *, height: float = 2.2, s_mm: float = 31.0, seed: int = 5, seen: tuple[float, float] = (0, 25)
) -> Profile:
    """A round cap on a plate that the photo shows a little tilted, with a hole in the flank."""
    across = np.arange(0.0, 24.5, 0.1)
    middle, half = 0.5 * (LEFT_MM + RIGHT_MM), 0.5 * (RIGHT_MM - LEFT_MM)
    cap = height * np.clip(1.0 - ((across - middle) / half) ** 2, 0.0, None)
    noise = NOISE_MM * np.random.default_rng(seed).standard_normal(across.size)
    heights = cap + 0.4 + 0.01 * across + noise
    heights[(across > 9.0) & (across < 9.35)] = np.nan
    heights[(across < seen[0]) | (across > seen[1])] = np.nan
    return Profile(
        method=ProfileMethod.LIGHT_LINE,
        s_mm=s_mm,
        clock_deg=None,
        across_mm=across,
        height_mm=heights,
        u_height_mm=np.full(across.size, NOISE_MM),
        points_px=np.stack([812.0 + 3.0 * heights, 204.0 + PX_PER_MM * across], axis=1),
        independent_mm=0.1,
        smooth_mm=0.05,
        gain_budget=(Component(source="step", standard_uncertainty=0.006, scope=Scope.PHOTO),),
        across_budget=(Component(source="print", standard_uncertainty=0.003, scope=Scope.PRINT),),
        form_budget=(Component(source="sheet", standard_uncertainty=0.01, scope=Scope.PHOTO),),
    )


def test_zero_across_lies_midway_between_the_toes_and_heights_are_levelled() -> None:
    sections = read_sections([profile()], None)
    (record,) = profile_records(sections.readings, Whose.one(0))
    assert record.left_toe_across_mm is not None
    assert record.right_toe_across_mm is not None
    # The levelling turns the profile a little, which moves a toe by less than a thousandth.
    assert_allclose(record.left_toe_across_mm, -record.right_toe_across_mm, atol=0.001)
    # The flank line of a round cap meets the base inside the end of the parabola: by about a
    # twentieth of the half width, as it is fitted between 15 and 50 % of the height.
    assert_allclose(record.right_toe_across_mm, 0.5 * (RIGHT_MM - LEFT_MM), atol=0.4)
    heights = np.array([np.nan if h is None else h for h in record.height_mm])
    far = np.abs(np.array(record.across_mm)) > 6.5
    # Metal beside the weld is at zero but for the noise of a point, 0.02.
    assert_allclose(np.nanmean(heights[far]), 0.0, atol=0.01)
    assert_allclose(np.nanmax(heights), 2.2, atol=0.08)


def test_holes_are_null_and_nothing_else_is() -> None:
    sections = read_sections([profile()], None)
    (record,) = profile_records(sections.readings, Whose.one(0))
    holes = [h is None for h in record.height_mm]
    assert sum(holes) == 3
    assert [u is None for u in record.U_mm] == holes
    assert [p is None for p in record.points_px] == holes
    assert all(u > 2.0 * NOISE_MM * 0.99 for u in record.U_mm if u is not None)


def test_a_station_stands_where_the_profile_does_with_its_toes_in_the_photo() -> None:
    (station,) = section_stations(read_sections([profile()], None).readings)
    assert station.s_mm == 31.0
    assert_allclose(station.face_reinforcement_mm, 2.2, atol=0.1)
    assert station.face_reinforcement_U_mm is not None
    rows = (
        (station.left_toe_px[1] - 204.0) / PX_PER_MM,
        (station.right_toe_px[1] - 204.0) / PX_PER_MM,
    )
    assert_allclose(rows, (LEFT_MM, RIGHT_MM), atol=0.4)


def test_what_can_be_read_is_read_though_another_profile_cannot() -> None:
    spoilt = profile(seen=(9.5, 15.0))
    with pytest.raises(BeadcheckError):
        read_sections([spoilt], None)
    assert len(read_sections([spoilt, profile()], None).readings) == 1


def test_the_result_of_a_section_meets_the_published_schema() -> None:
    sections = read_sections([profile(), profile(s_mm=38.0, height=2.5, seed=9)], None)
    outcome = Outcome(
        photos=(photo_record("line.jpg", PhotoKind.LIGHT_LINE, usable=True, problems=()),),
        readings=(
            Reading(
                whose=Whose.one(0),
                quantities=sections.quantities,
                not_measured=sections.not_measured,
            ),
        ),
        stations=section_stations(sections.readings),
        profiles=profile_records(sections.readings, Whose.one(0)),
    )
    request = Request(takes=(), coupon=Coupon())
    result = result_of(outcome, request, load_limit_set("pipe-coupon"))
    written = json.loads(result_to_json(result))
    jsonschema.validate(written, result_schema())
    highest = [
        q
        for q in written["quantities"]
        if (q["name"], q["statistic"]) == ("face_reinforcement", "max")
    ]
    assert [q["count"] for q in highest] == [2]
    assert_allclose(highest[0]["value"], 2.5, atol=0.1)
    assert highest[0]["s_range_mm"] == [31.0, 38.0]


def test_a_refusal_is_the_reason_of_every_height() -> None:
    missing = heights_refused(NoLightLineError(), None)
    assert {m.name for m in missing} == set(height_names(None))
    assert {m.reason for m in missing} == {NoLightLineError().reason}


def test_bare_metal_is_told_of_in_a_sentence() -> None:
    flat = replace(profile(), height_mm=np.full(245, 0.3) + 0.001 * np.arange(245))
    read = read_sections([flat], None)
    assert section_stations(read.readings) == ()
    assert nothing_read(read.not_measured).message.endswith(".")
