from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from numpy.testing import assert_allclose

from beadcheck.log import SettingOf, SummaryRow, Wanted
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.report.wording import LengthUnit
from beadcheck.trends import (
    Bounds,
    Grouping,
    clock_lines,
    last_settings_change,
    points_of,
    round_the_clock,
    trend_chart,
    trend_lines,
    trend_of,
)
from beadcheck.units import Unit

START = datetime(2026, 3, 2, 9, tzinfo=UTC)
SPREAD = Wanted(name=QuantityName.WELD_WIDTH, statistic=Statistic.SD)


def welds(*values: float, expanded: float = 0.06) -> list[SummaryRow]:
    return [
        SummaryRow(
            measurement=number,
            measured_at=START + timedelta(days=number),
            person="Tern",
            class_name="spring",
            coupon=f"P8-{number}",
            run="cap",
            weld_pass="cap",  # noqa: S106  # no password
            process="smaw",
            position="6G",
            value=value,
            expanded_uncertainty=expanded,
            count=60,
            photo=None,
            clock_deg=None,
        )
        for number, value in enumerate(values, start=1)
    ]


def current(measurement: int, value: float) -> SettingOf:
    return SettingOf(
        measurement=measurement,
        name="current",
        value=value,
        expanded_uncertainty=None,
        unit=Unit.AMPERE,
    )


def test_a_change_of_settings_parts_before_from_after() -> None:
    rows = welds(0.92, 0.88, 0.95, 0.85, 0.52, 0.48, 0.50)
    settings = [current(k, 90.0) for k in (1, 2, 4)] + [current(k, 80.0) for k in (5, 6, 7)]
    trend = trend_of(rows, SPREAD, settings=settings)
    assert trend.settings is not None
    assert trend.settings.first_after == 4
    assert trend.since_settings is not None
    assert (trend.since_settings.welds_before, trend.since_settings.welds_after) == (4, 3)
    said = trend_lines(trend, LengthUnit.MM)[0]
    assert "current went from 90 to 80 A" in said
    assert "weld width, spread (sd) fell from 0.90 mm to 0.50 mm" in said
    assert "more than repeat measurement alone would give (0.08 mm)" in said
    assert "and more than the welds' own scatter" in said


def test_a_difference_that_measuring_may_have_made_is_called_nothing() -> None:
    said = " ".join(trend_lines(trend_of(welds(0.60, 0.55), SPREAD), LengthUnit.MM))
    assert "nothing can be said" in said
    assert "too few to tell steady from unsteady" in said


def test_a_repeatability_study_sharpens_the_comparison() -> None:
    rows = welds(0.60, 0.55)
    trend = trend_of(rows, SPREAD, repeatability=0.01)
    assert trend.since_last is not None
    assert_allclose(trend.since_last.by_measuring, 2 * 0.01 * 2**0.5)
    assert "more than repeat measurement" in " ".join(trend_lines(trend, LengthUnit.MM))


def test_settings_nobody_gave_are_no_change() -> None:
    rows = welds(0.6, 0.6, 0.6)
    assert last_settings_change(rows, []) is None
    assert last_settings_change(rows, [current(1, 90.0), current(3, 90.0)]) is None
    told = last_settings_change(rows, [current(1, 90.0), current(3, 95.0)])
    assert told is not None
    assert told.first_after == 2


def test_an_outlier_is_named_with_its_rule_and_source() -> None:
    rows = welds(0.50, 0.52, 0.49, 0.51, 0.50, 0.52, 0.51, 1.40)
    said = " ".join(trend_lines(trend_of(rows, SPREAD), LengthUnit.MM))
    assert "weld 8 (a point beyond three sigma)" in said
    assert "Western Electric Handbook" in said


def photo_readings(rows: list[SummaryRow], *readings: tuple[float, ...]) -> list[SummaryRow]:
    """What the other photos of each weld gave; the weld's own value is that of its best photo."""
    return [
        replace(row, value=value, photo=index)
        for row, mine in zip(rows, readings, strict=True)
        for index, value in enumerate(mine, start=1)
    ]


def of_photos(rows: list[SummaryRow]) -> list[SummaryRow]:
    return [replace(row, photo=0) for row in rows]


def test_welds_of_equally_many_photos_are_charted_by_means_and_ranges() -> None:
    rows = of_photos(welds(0.50, 0.52, 0.48, 0.51, 0.90))
    parts = photo_readings(rows, (0.54,), (0.50,), (0.52,), (0.49,), (0.94,))
    trend = trend_of(rows, SPREAD, parts=parts)
    assert trend.points.grouping is Grouping.PHOTOS
    assert trend.charts is not None
    assert_allclose(trend.charts.level.values, [0.52, 0.51, 0.50, 0.50, 0.92])
    assert_allclose(trend.charts.scatter.values, [0.04, 0.02, 0.04, 0.02, 0.04])
    said = " ".join(trend_lines(trend, LengthUnit.MM))
    assert "because each weld has 2 readings" in said
    assert "Not by the spread within a weld alone: " in said
    assert "weld 5 (a point beyond three sigma)" in said
    assert trend_chart(trend, unit=LengthUnit.MM).lstrip().startswith(b"<?xml")


def test_a_weld_that_is_uneven_in_itself_is_named() -> None:
    rows = of_photos(welds(*[0.50] * 11, 0.30))
    parts = photo_readings(rows, *[(0.52,)] * 11, (0.70,))
    trend = trend_of(rows, SPREAD, parts=parts)
    assert [(each.first, each.last) for each in trend.uneven] == [(11, 11)]
    said = " ".join(trend_lines(trend, LengthUnit.MM))
    assert "More uneven within weld 12 than in the others: its readings lie 0.40 mm apart" in said


def test_a_value_of_the_whole_coupon_is_no_reading_beside_those_it_is_made_of() -> None:
    rows = welds(*[0.50] * 5)
    parts = photo_readings(rows, *[(0.48, 0.52)] * 5)
    points = points_of(rows, parts)
    assert points.grouping is Grouping.PHOTOS
    assert {point.readings for point in points.each} == {(0.48, 0.52)}


def test_welds_of_unequally_many_photos_count_with_one_value_each() -> None:
    rows = of_photos(welds(0.50, 0.52, 0.48, 0.51, 0.50))
    parts = photo_readings(rows, (0.54,), (), (0.52, 0.53), (), ())
    trend = trend_of(rows, SPREAD, parts=parts)
    assert trend.points.grouping is Grouping.UNEVEN
    said = " ".join(trend_lines(trend, LengthUnit.MM))
    assert "because the welds have 1 to 3 readings each" in said


def test_passes_of_one_kind_are_grouped_by_coupon_and_those_of_several_kinds_are_not() -> None:
    rows = [
        replace(row, coupon=f"P8-{k // 2}", run=f"cap {k % 2 + 1}")
        for k, row in enumerate(welds(0.5, 0.6, 0.5, 0.6, 0.5, 0.6, 0.5, 0.6, 0.9, 1.0))
    ]
    trend = trend_of(rows, SPREAD)
    assert trend.points.grouping is Grouping.PASSES
    said = " ".join(trend_lines(trend, LengthUnit.MM))
    assert "each coupon has 2 passes of one kind" in said
    assert "coupon P8-4" in said
    mixed = [replace(row, weld_pass="root" if k % 2 else "cap") for k, row in enumerate(rows)]
    assert trend_of(mixed, SPREAD).points.grouping is Grouping.SINGLE


def test_single_values_say_which_charts_suit_them_and_why() -> None:
    said = " ".join(trend_lines(trend_of(welds(*[0.5, 0.6] * 3), SPREAD), LengthUnit.MM))
    assert "single values and moving ranges, because each weld has one reading" in said


def test_capability_is_told_only_against_a_limit() -> None:
    rows = welds(0.50, 0.55, 0.52, 0.58, 0.51, 0.54)
    assert trend_of(rows, SPREAD).capability is None
    trend = trend_of(rows, SPREAD, bounds=Bounds(highest=0.8, source="the class card"))
    said = trend_lines(trend, LengthUnit.MM)[-1]
    assert said.startswith("Against the class card: Cpk ")
    assert "6 welds; an index is firm from about 50 on" in said
    flat = trend_of(welds(*[0.5] * 6), SPREAD, bounds=Bounds(highest=0.8))
    assert flat.capability is None


def test_the_worst_hour_of_the_clock_is_named() -> None:
    rows = [
        replace(row, clock_deg=30.0 * (k % 12), value=0.9 if k % 12 == 5 else 0.5)
        for k, row in enumerate(welds(*[0.5] * 36))
    ]
    (said,) = clock_lines(round_the_clock(rows), "weld width, spread (sd)")
    assert "greatest near 5:00 (150°)" in said
    assert round_the_clock(welds(0.5)) == ()


@pytest.mark.parametrize("unit", list(LengthUnit))
def test_the_chart_draws_limits_signals_and_changes_in_words_too(unit) -> None:
    rows = welds(0.50, 0.52, 0.49, 0.51, 0.50, 0.52, 0.51, 1.40)
    settings = [current(k, 90.0) for k in range(1, 5)] + [current(k, 80.0) for k in range(5, 9)]
    trend = trend_of(rows, SPREAD, settings=settings, bounds=Bounds(highest=0.8))
    svg = trend_chart(trend, unit=unit).decode()
    assert svg.lstrip().startswith("<?xml")
    assert trend_chart(trend, unit=unit).decode() == svg
    assert trend_chart(trend, unit=unit, form="png").startswith(b"\x89PNG")


def test_nothing_logged_says_so() -> None:
    assert trend_lines(trend_of([], SPREAD), LengthUnit.MM) == ["Nothing was logged that fits."]
