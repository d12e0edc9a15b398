"""From a result to the rows that are kept of it."""

from collections import Counter
from dataclasses import fields
from typing import Final, TypedDict

from beadcheck.limits import Finding
from beadcheck.result import QuantityRecord, Result, StatedRecord
from beadcheck.units import Unit


class SettingRow(TypedDict):
    """Columns of ``setting``, but for the measurement."""

    name: str
    value: float
    expanded_uncertainty: float | None
    unit: str


class QuantityRow(TypedDict):
    """Columns of ``quantity``, but for the measurement."""

    name: str
    statistic: str
    side: str | None
    value: float
    expanded_uncertainty: float
    unit: str
    count: int
    photo: int | None
    clock_deg: float | None
    for_pass: bool


_FINDINGS: Final = {
    "within": Finding.WITHIN,
    "outside": Finding.OUTSIDE,
    "undecided": Finding.UNDECIDED,
    "not_measured": Finding.NOT_MEASURED,
}


def finding_counts(result: Result) -> dict[str, int]:
    """How many comparisons had which finding, by column."""
    counted = Counter(check.finding for check in result.checks)
    return {column: counted[finding] for column, finding in _FINDINGS.items()}


def setting_rows(result: Result) -> list[SettingRow]:
    """Every number that was set or stated for the pass."""
    rows: list[SettingRow] = []
    settings = result.settings
    for each in () if settings is None else fields(settings):
        stated = getattr(settings, each.name)
        if isinstance(stated, StatedRecord):
            rows.append(
                SettingRow(
                    name=each.name,
                    value=stated.value,
                    expanded_uncertainty=stated.expanded_uncertainty,
                    unit=stated.unit,
                )
            )
    times = {
        "peak_time": result.coupon.peak_time_s,
        "background_time": result.coupon.background_time_s,
    }
    rows += [
        SettingRow(name=name, value=time_s, expanded_uncertainty=None, unit=Unit.S.value)
        for name, time_s in times.items()
        if time_s is not None
    ]
    return rows


def quantity_rows(result: Result) -> list[QuantityRow]:
    """Every value of the result, each with its clock position where it has one."""
    best: dict[tuple[str, str, str | None], QuantityRecord] = {}
    for each in result.quantities:
        best[_what(each)] = max(best.get(_what(each), each), each, key=_weight)
    return [
        QuantityRow(
            name=each.name,
            statistic=each.statistic,
            side=each.side,
            value=each.value,
            expanded_uncertainty=each.expanded_uncertainty,
            unit=each.unit,
            count=each.count,
            photo=each.photo,
            clock_deg=_clock_deg(each, result),
            for_pass=best[_what(each)] is each,
        )
        for each in result.quantities
    ]


def _weight(record: QuantityRecord) -> tuple[bool, int, float]:
    """How well a value stands for the whole pass: the coupon's, or else that of most readings."""
    return record.scope == "coupon", record.count, -record.expanded_uncertainty


def _what(record: QuantityRecord) -> tuple[str, str, str | None]:
    return record.name, record.statistic, record.side


def _clock_deg(record: QuantityRecord, result: Result) -> float | None:
    """Clock position of the middle of what a value covers, on a pipe whose strip tells it."""
    if record.s_range_mm is None or record.scope == "coupon":
        return None
    # A pair's sections belong to no single photo, its stations to the first.
    photos = (None, *record.photos[:1]) if record.photo is None else (record.photo,)
    middle_mm = sum(record.s_range_mm) / 2.0
    # Distances along the weld begin anew in each photo.
    places = [
        (each.s_mm, each.clock_deg)
        for each in result.stations
        if each.photo in photos and each.s_mm is not None
    ] + [(each.s_mm, each.clock_deg) for each in result.profiles if each.photo in photos]
    near = [(abs(s_mm - middle_mm), clock) for s_mm, clock in places if clock is not None]
    return min(near)[1] if near else None
