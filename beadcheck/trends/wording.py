"""A trend in plain sentences."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from beadcheck.consistency import Change, RunRule, Signal, Stretch
from beadcheck.consistency.run_rules import SOURCE
from beadcheck.report.wording import LengthUnit, clock_words, full_words, value_words
from beadcheck.trends.points import Grouping, Points
from beadcheck.trends.settings_change import SettingChange
from beadcheck.trends.trend import Trend
from beadcheck.units import Unit

CLOCK_SPREAD: Final = 1.15
"""A sector that lies this much above the mean of all is named."""


def subject_words(trend: Trend) -> str:
    """Name of the value, with its side where it has one."""
    wanted = trend.wanted
    side = None if wanted.side is None else wanted.side.value
    return full_words(wanted.name.value, wanted.statistic.value, side)


def trend_lines(trend: Trend, unit: LengthUnit) -> list[str]:
    """Everything that the welds say together, the most telling first."""
    if not trend.rows:
        return ["Nothing was logged that fits."]
    lines = []
    if trend.since_settings is not None and trend.settings is not None:
        moved = setting_words(trend.settings.changes)
        lines.append(f"Since {moved}: {change_words(trend, trend.since_settings, unit)}")
    if trend.since_last is not None:
        lines.append(f"Since the weld before: {change_words(trend, trend.since_last, unit)}")
    lines += _chart_lines(trend, unit)
    return lines + _capability_lines(trend)


def change_words(trend: Trend, change: Change, unit: LengthUnit) -> str:
    """Whether a difference is more than repeat measurement, and than the welder's own scatter."""

    def told(value: float) -> str:
        return value_words(value, None, trend.wanted.unit.value, unit)

    moved = moved_words(subject_words(trend), change, trend.wanted.unit, unit)
    if change.welds_before + change.welds_after > 2:
        moved += f" ({change.welds_before} welds before, {change.welds_after} after)"
    measuring = f"repeat measurement alone would give ({told(change.by_measuring)})"
    if not change.exceeds_measuring:
        return f"{moved}: no more than {measuring}, so nothing can be said."
    words = f"{moved}: more than {measuring}"
    if change.exceeds_welding is None or change.by_welding is None:
        return f"{words}. One weld may be chance."
    scatter = f"the welds' own scatter ({told(change.by_welding)})"
    if change.exceeds_welding:
        return f"{words}, and more than {scatter}."
    return f"{words}, but no more than {scatter}: it may be chance."


def moved_words(subject: str, change: Change, of: Unit, unit: LengthUnit) -> str:
    """Which way a value moved, from where to where.

    Parameters
    ----------
    of
        Unit of the value.
    """
    way = "fell" if change.difference < 0.0 else "rose" if change.difference > 0.0 else "stayed"
    before, after = (
        value_words(value, None, of.value, unit) for value in (change.before, change.after)
    )
    return f"{subject} {way} from {before} to {after}"


def clock_lines(stretches: Sequence[Stretch], name: str) -> list[str]:
    """Where round the clock the value is greatest."""
    known = [stretch for stretch in stretches if stretch.mean == stretch.mean]
    if len(known) < 2:
        return []
    mean = sum(stretch.mean for stretch in known) / len(known)
    worst = max(known, key=lambda stretch: stretch.mean)
    if worst.mean < CLOCK_SPREAD * mean:
        return [f"{name} is even round the clock in the {len(known)} sectors that were measured."]
    return [
        f"{name} is greatest near {clock_words(worst.middle)}: "
        f"{100.0 * (worst.mean / mean - 1.0):.0f} % above the mean of {len(known)} sectors."
    ]


def day_words(moment: datetime) -> str:
    """Day of a moment, here.

    Examples
    --------
    >>> from datetime import timezone
    >>> day_words(datetime(2026, 3, 4, 12, tzinfo=timezone.utc))
    '2026-03-04'
    """
    return moment.astimezone().date().isoformat()


def _chart_lines(trend: Trend, unit: LengthUnit) -> list[str]:
    rows, charts = trend.rows, trend.charts
    spoken = f"{len(rows)} welds" if len(rows) > 1 else "One weld"
    days = f"{day_words(rows[0].measured_at)} to {day_words(rows[-1].measured_at)}"
    if charts is None:
        return [f"{spoken}, {days}: too few to tell steady from unsteady (five are needed)."]
    level = charts.level

    def told(value: float) -> str:
        return value_words(value, None, trend.wanted.unit.value, unit)

    chance = chance_words(trend)
    what = "means" if trend.points.grouped else "welds"
    lines = [
        f"{spoken}, {days}: mean {told(level.centre)}; by {chance} alone {what} lie between "
        f"{told(level.lower)} and {told(level.upper)}"
        + (" (a first try: limits are firm from 20 points on)." if level.trial else "."),
        grouping_words(trend.points),
    ]
    if trend.signals:
        lines.append(f"Not by {chance} alone: {_rules_words(trend)}. Rules: {SOURCE}.")
    lines += [
        f"More uneven within {_where(trend, signal)} than in the others: its readings lie "
        f"{told(float(charts.scatter.values[signal.first]))} apart, beyond "
        f"{told(charts.scatter.upper)}."
        for signal in trend.uneven
    ]
    if not trend.signals and not trend.uneven:
        lines.append("No point and no run that chance alone would rarely make.")
    return lines


def chance_words(trend: Trend) -> str:
    """What the limits of the chart of the level come from."""
    if trend.points.grouping is Grouping.PHOTOS:
        return "the spread within a weld"
    if trend.points.grouping is Grouping.PASSES:
        return "the spread within a coupon"
    return "chance"


def grouping_words(points: Points) -> str:
    """Which pair of charts suits the readings, and why."""
    singles = "Chart of single values and moving ranges"
    match points.grouping:
        case Grouping.PHOTOS:
            return (
                f"Chart of means and ranges, because each weld has {points.sizes[0]} readings: a "
                "point beyond its limits says that welds differ by more than each differs in "
                "itself."
            )
        case Grouping.PASSES:
            return (
                "Chart of means and ranges, because each coupon has "
                f"{len(points.each[0].readings)} passes of one kind: a point beyond its limits "
                "says that coupons differ by more than the passes of one do."
            )
        case Grouping.UNEVEN:
            return (
                f"{singles}, because the welds have {points.sizes[0]} to {points.sizes[-1]} "
                "readings each, and means and ranges want equally many of each."
            )
        case Grouping.SINGLE:
            return f"{singles}, because each weld has one reading."


def _rules_words(trend: Trend) -> str:
    """What each rule picks out, rule by rule."""
    places: dict[RunRule, list[str]] = {}
    for signal in trend.signals:
        places.setdefault(signal.rule, []).append(_where(trend, signal))
    return "; ".join(
        f"{', '.join(found)} ({rule.value})"
        for rule, found in sorted(places.items(), key=lambda item: list(RunRule).index(item[0]))
    )


def _where(trend: Trend, signal: Signal) -> str:
    """Points of a signal, as a person knows them."""
    first, last = (trend.points.each[k] for k in (signal.first, signal.last))
    if trend.points.grouping is Grouping.PASSES:
        names = [trend.rows[point.welds[0]].coupon for point in (first, last)]
        return f"coupon {names[0]}" if first is last else f"coupons {names[0]} to {names[1]}"
    number, until = signal.first + 1, signal.last + 1
    return f"weld {number}" if number == until else f"welds {number} to {until}"


def _capability_lines(trend: Trend) -> list[str]:
    found = trend.capability
    if found is None:
        return []
    low, high = found.cpk_range
    words = (
        f"Against {trend.bounds.source or 'the limit'}: Cpk {found.cpk:.2f}, between {low:.2f} and "
        f"{high:.2f} with 95 % confidence"
    )
    if not found.firm:
        words += f" ({found.count} welds; an index is firm from about 50 on)"
    return [f"{words}."]


def setting_words(changes: Sequence[SettingChange]) -> str:
    """What was set otherwise, from what to what."""
    return " and ".join(_setting_words(each) for each in changes)


def _setting_words(change: SettingChange) -> str:
    name = change.name.replace("_", " ")
    if change.before is None:
        return f"{name} {change.after:g} {change.unit.value} was given"
    if change.after is None:
        return f"{name} is no longer given"
    return f"{name} went from {change.before:g} to {change.after:g} {change.unit.value}"
