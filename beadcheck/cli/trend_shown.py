"""What ``beadcheck trend`` prints."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.table import Table

from beadcheck.cli.streams import shown
from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck.trends import Member, Trend, Week, day_words

if TYPE_CHECKING:
    from beadcheck.log import Wanted


def weld_table(trend: Trend, unit: LengthUnit) -> str:
    """Each weld's value with its U, oldest first; what a run rule picks out says so."""
    picked = {
        weld
        for signal in (*trend.signals, *trend.uneven)
        for point in trend.points.each[signal.first : signal.last + 1]
        for weld in point.welds
    }
    table = _table("weld", "day", "coupon", "pass", "value", "")
    for index, row in enumerate(trend.rows):
        value = value_words(row.value, row.expanded_uncertainty, trend.wanted.unit.value, unit)
        mark = "not by chance alone" if index in picked else ""
        day = day_words(row.measured_at)
        table.add_row(str(index + 1), day, row.coupon, row.run, value, mark)
    return shown(table)


def class_table(members: Sequence[Member], wanted: "Wanted", unit: LengthUnit) -> str:
    """One line for each person; whether the latest welds differ from the first."""
    if not members:
        return "Nothing was logged that fits."
    table = _table("who", "welds", "last on", "mean", "first", "latest", "change")
    for each in members:
        mean, first, latest = (
            value_words(value, None, wanted.unit.value, unit)
            for value in (each.mean, each.first, each.latest)
        )
        table.add_row(
            each.person,
            str(each.welds),
            day_words(each.last_at),
            mean,
            first,
            latest,
            each.share_words,
        )
    side = None if wanted.side is None else wanted.side.value
    title = full_words(wanted.name.value, wanted.statistic.value, side)
    return f"{title[0].upper()}{title[1:]}\n{shown(table)}"


def week_table(points: Sequence[Week], wanted: "Wanted", unit: LengthUnit) -> str:
    """The class week by week."""
    table = _table("week from", "welds", "people", "mean", "least", "largest")
    for point in points:
        values = (
            value_words(value, None, wanted.unit.value, unit)
            for value in (point.mean, point.least, point.greatest)
        )
        table.add_row(point.first_day.isoformat(), str(point.count), str(point.people), *values)
    return shown(table)


def _table(*headings: str) -> Table:
    table = Table(box=box.SIMPLE_HEAD)
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table
