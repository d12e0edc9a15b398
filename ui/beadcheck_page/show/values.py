"""The tables of values, and what was not measured."""

from beadcheck.report.shares import ValueRow, value_rows
from beadcheck.report.wording import (
    LengthUnit,
    full_words,
    quantity_words,
    statistic_words,
    value_words,
)
from beadcheck.result import NotMeasuredRecord, QuantityRecord, Result
from beadcheck_page.show.markup import capital, listed, sentence, text, unbroken
from beadcheck_page.show.whose import Whose, grouped, parted, whose, whose_words


def value_tables(result: Result, unit: LengthUnit) -> str:
    """Markup of a table of values ± U for each photo or pair that gave any."""
    if not result.quantities:
        return ""
    shown, joined = (
        "".join(_table(rows, _caption(key, rows, result), unit) for key, rows in groups.items())
        for groups in parted(grouped(result.quantities), result)
    )
    if joined:
        summary = "<summary>Values of each photo</summary>"
        joined = f'<details class="bc-fold">{summary}{joined}</details>'
    return (
        f"{shown}{joined}"
        '<p class="bc-source">± is the expanded uncertainty (k = 2): about 95 of 100 such '
        "intervals hold the true value. Count is the number of stations or gaps behind a value.</p>"
    )


def _caption(key: Whose, rows: list[QuantityRecord], result: Result) -> str:
    if not key and not any(row.photos for row in rows):
        return "Values from the settings"
    return f"Values of {whose_words(key, result)}" if len(result.photos) > 1 else "Values"


def _table(rows: list[QuantityRecord], caption: str, unit: LengthUnit) -> str:
    names = dict.fromkeys(row.name for row in rows)
    body = "".join(
        _group(value_rows([row for row in rows if row.name == name]), unit) for name in names
    )
    return (
        f'<table class="bc-values"><caption>{text(caption)}</caption><thead><tr>'
        '<th scope="col">Quantity</th><th scope="col">Value ± U</th>'
        f'<th scope="col">Count</th></tr></thead>{body}</table>'
    )


def _group(rows: list[ValueRow], unit: LengthUnit) -> str:
    """Rows of one quantity under its name; a quantity with one row carries its name there."""
    first = rows[0].quantity
    if len(rows) == 1:
        alone = full_words(first.name, first.statistic, first.side)
        return f'<tbody class="bc-lone">{_row(rows[0], alone, unit)}</tbody>'
    name = quantity_words(first.name)
    lines = "".join(
        _row(row, statistic_words(each.name, each.statistic, each.side) or name, unit)
        for row in rows
        for each in [row.quantity]
    )
    return (
        f'<tbody><tr class="bc-group"><th scope="rowgroup" colspan="3">{capital(name)}</th></tr>'
        f"{lines}</tbody>"
    )


def _row(row: ValueRow, name: str, unit: LengthUnit) -> str:
    each = row.quantity
    value = unbroken(text(value_words(each.value, each.expanded_uncertainty, each.unit, unit)))
    if row.share_parts:
        # Either part stays whole; a phone breaks the line between them.
        value += f"<br>{' '.join(unbroken(text(part)) for part in row.share_parts)}"
    return f'<tr><th scope="row">{capital(name)}</th><td>{value}</td><td>{each.count}</td></tr>'


def not_measured(result: Result) -> str:
    """Markup of what was not measured, why, and how to get it; alike reasons stand together.

    Why a whole photo was refused stands under it, and is not said again.
    """
    usable = [index for index, photo in enumerate(result.photos) if photo.usable]
    groups: dict[tuple[str, str, Whose], list[NotMeasuredRecord]] = {}
    for record in result.not_measured:
        of = whose(record)
        if not of or any(photo in usable for photo in of):
            groups.setdefault((record.reason, record.how_to, of), []).append(record)
    where: dict[tuple[str, str, str], list[Whose]] = {}
    for (reason, how_to, of), records in groups.items():
        names = listed(dict.fromkeys(quantity_words(record.name) for record in records))
        where.setdefault((reason, how_to, names), []).append(of)
    items = [
        f"<dt>{capital(names + _of(photos, usable, result))}</dt>"
        f"<dd>{sentence(reason)} <strong>To get it:</strong> {sentence(how_to)}</dd>"
        for (reason, how_to, names), photos in where.items()
    ]
    return f'<h3>Not measured</h3><dl class="bc-missing">{"".join(items)}</dl>' if items else ""


def _of(groups: list[Whose], usable: list[int], result: Result) -> str:
    """In brackets, the photos that a reason holds for; nothing where it holds for all."""
    named = [key for key in groups if key]
    if not named or sorted({photo for key in named for photo in key}) == usable:
        return ""
    return f" ({listed(whose_words(key, result) for key in named)})"
