"""The result as tables for a terminal."""

from collections import defaultdict
from dataclasses import dataclass, field
from typing import Final

from rich.console import Group, RenderableType
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from beadcheck.limits import Finding
from beadcheck.report.advised import advice_words, change_words
from beadcheck.report.entered import coupon_words, photo_words, settings_words
from beadcheck.report.finding_words import check_words, judged_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.look_here import HEADING, look_here_groups, place_words
from beadcheck.report.photo_lines import photo_lines
from beadcheck.report.shares import value_rows
from beadcheck.report.whole.table import whole_weld_parts
from beadcheck.report.wording import (
    FINDING_ORDER,
    LengthUnit,
    finding_count_words,
    not_measured_words,
    quantity_words,
    statistic_words,
    unchecked_words,
    value_words,
)
from beadcheck.result import (
    AdviceRecord,
    CheckRecord,
    IndicationRecord,
    NotMeasuredRecord,
    QuantityRecord,
    Result,
)

COUPON: Final = "The coupon, from several photos"
SETTINGS: Final = "From the settings"
MOST_NAMED: Final = 4
"""Photos that a heading names one by one."""
FINDING_MARKS: Final = {
    Finding.WITHIN: ("✓", "blue"),
    Finding.OUTSIDE: ("✗", "bold dark_orange"),
    Finding.UNDECIDED: ("?", "bold"),
    Finding.NOT_MEASURED: ("–", "dim"),
}
"""A sign and a style for each finding; the word always stands beside them."""


def result_table(result: Result, *, unit: LengthUnit) -> RenderableType:
    """Everything that a person needs from a result: each usable photo, findings, advice, caution.

    Photos that could not be used are left to the caller, who says why on standard error.
    """
    caution = Text(result.caution, style="italic")
    if not any(photo.usable for photo in result.photos):
        return caution
    parts: list[RenderableType] = []
    without_target = all(photo.without_target for photo in result.photos)
    if words := coupon_words(result.coupon, unit, without_target=without_target):
        parts.append(Text(words, style="dim"))
    if words := settings_words(result.settings, result.coupon, unit):
        parts.append(Text(f"Settings: {words}", style="dim"))
    if result.whole_weld is not None:
        parts += whole_weld_parts(result.whole_weld, unit)
    for index, photo in enumerate(result.photos):
        if photo.usable:
            parts += _photo_parts(result, index, unit)
    parts += _shared_parts(result, unit)
    return Group(*parts, caution)


def _photo_parts(result: Result, index: int, unit: LengthUnit) -> list[RenderableType]:
    photo = result.photos[index]
    parts: list[RenderableType] = [
        Rule(Text(photo.file, style="bold"), align="left", characters="─"),
        Text(photo_words(photo, unit), style="dim"),
    ]
    parts += [Text(f"Note: {in_unit(problem.message, unit)}") for problem in photo.problems]
    quantities = [quantity for quantity in result.quantities if quantity.photo == index]
    if quantities:
        parts.append(_quantities(quantities, unit))
    parts += [Text(line) for line in photo_lines(result, index, unit)]
    parts += _not_measured([each for each in result.not_measured if each.photo == index])
    parts += _findings([check for check in result.checks if check.photo == index], unit)
    parts += _look_here([each for each in result.indications if each.photo == index], unit)
    return parts


def _shared_parts(result: Result, unit: LengthUnit) -> list[RenderableType]:
    """What belongs to no single photo: to those of a pair, to the coupon, to everything."""
    parts: list[RenderableType] = []
    for heading, records in _shared(result).items():
        parts.append(Rule(Text(heading, style="bold"), align="left", characters="─"))
        if records.quantities:
            parts.append(_quantities(records.quantities, unit))
        parts += _not_measured(records.not_measured)
        parts += _findings(records.checks, unit)
    usable = {None, *(i for i, photo in enumerate(result.photos) if photo.usable)}
    checks = [check for check in result.checks if check.photo in usable]
    if checks:
        parts.append(Text(f"{finding_count_words(checks)}. Limits: {result.limits}."))
        sources = "; ".join(dict.fromkeys(check.source for check in checks))
        parts.append(Text(f"Sources: {sources}.", style="dim"))
    if unchecked := unchecked_words(result.photos):
        parts.append(Text(unchecked))
    elif result.limits and not checks:
        parts.append(Text(f"No limit holds for this coupon and pass. Limits: {result.limits}."))
    if result.look_for:
        parts.append(Text(f"Look at this pass for: {result.look_for}"))
    if result.limits:
        parts.append(Text(result.not_judged, style="dim"))
    for number, advice in enumerate(result.advice, start=1):
        parts += _advice(number, advice, unit)
    return parts


def _advice(number: int, advice: AdviceRecord, unit: LengthUnit) -> list[RenderableType]:
    """One thing to change; the first is the one to try."""
    lead = "Next run: " if number == 1 else "After that: "
    told = [Text(), Text.assemble(lead, (change_words(advice, unit), "bold"))]
    told += [Text(f"  {label}: {words}") for label, words in advice_words(advice, unit)]
    return [*told]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shared:
    """Records that belong to the same several photos."""

    quantities: list[QuantityRecord] = field(default_factory=list)
    not_measured: list[NotMeasuredRecord] = field(default_factory=list)
    checks: list[CheckRecord] = field(default_factory=list)


def _shared(result: Result) -> dict[str, _Shared]:
    """Records of several photos under the words for these photos, in the order they come."""
    shared: dict[str, _Shared] = defaultdict(_Shared)
    for quantity in result.quantities:
        if quantity.photo is None:
            several = quantity.scope == "coupon" and bool(quantity.photos)
            scope = COUPON if several else _together(result, quantity.photos)
            shared[scope].quantities.append(quantity)
    for missing in result.not_measured:
        if missing.photo is None:
            shared[_together(result, missing.photos)].not_measured.append(missing)
    for check in result.checks:
        if check.photo is None:
            shared[_together(result, check.photos)].checks.append(check)
    return shared


def _together(result: Result, photos: tuple[int, ...]) -> str:
    """Names of photos that were measured together; what comes from none is from the settings."""
    if not photos:
        return SETTINGS
    if len(photos) > MOST_NAMED:
        return COUPON
    return " + ".join(result.photos[index].file for index in photos)


def _quantities(quantities: list[QuantityRecord], unit: LengthUnit) -> Table:
    table = Table(box=None, pad_edge=False)
    table.add_column("quantity")
    table.add_column("statistic")
    table.add_column("value ± U (k = 2)", justify="right")
    rows = value_rows(quantities)
    shares = [row.share_words for row in rows]
    if any(shares):
        table.add_column("share", justify="left")
    table.add_column("from", justify="right")
    for row, share in zip(rows, shares, strict=True):
        each = row.quantity
        table.add_row(
            quantity_words(each.name),
            statistic_words(each.name, each.statistic, each.side),
            value_words(each.value, each.expanded_uncertainty, each.unit, unit),
            *([share] if any(shares) else []),
            str(each.count),
        )
    return table


def _findings(checks: list[CheckRecord], unit: LengthUnit) -> list[RenderableType]:
    if not checks:
        return []
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column()
    table.add_column(no_wrap=True)
    table.add_column()
    for check in sorted(checks, key=lambda each: FINDING_ORDER.index(each.finding)):
        mark, style = FINDING_MARKS[check.finding]
        words = Text(check_words(check, unit))
        # Why something was not measured is said with the photo, once for all.
        if check.finding is not Finding.NOT_MEASURED:
            for told in filter(None, (judged_words(check), check.note)):
                words.append(f"\n{told[0].upper()}{told[1:]}", style="dim")
        table.add_row(Text(mark, style=style), Text(check.finding.value, style=style), words)
    return [Text(), table]


def _not_measured(records: list[NotMeasuredRecord]) -> list[RenderableType]:
    return [
        Text.assemble(("Not measured: ", "dim"), words) for words in not_measured_words(records)
    ]


def _look_here(records: list[IndicationRecord], unit: LengthUnit) -> list[RenderableType]:
    if not records:
        return []
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(justify="right", style="bold")
    table.add_column()
    for group in look_here_groups(records):
        for each in group.indications:
            table.add_row(str(each.number), place_words(each, unit))
        table.add_row("", Text(group.look_here, style="dim"))
    return [Text(), Text(HEADING, style="bold"), table]
