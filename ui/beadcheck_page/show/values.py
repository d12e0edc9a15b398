"""The tables of values, and what was not measured."""

from beadcheck.report.wording import (
    LengthUnit,
    full_words,
    quantity_words,
    statistic_words,
    value_words,
)
from beadcheck.result import NotMeasuredRecord, QuantityRecord, Result
from beadcheck_page.show.markup import capital, listed, sentence, text, unbroken


def value_tables(result: Result, unit: LengthUnit) -> str:
    """Markup of a table of values ± U for each photo that gave any."""
    several = len(result.photos) > 1
    tables = []
    for photo in (*range(len(result.photos)), None):
        rows = [quantity for quantity in result.quantities if quantity.photo == photo]
        if rows:
            of = ""
            if several:
                of = " of the coupon" if photo is None else f" of {result.photos[photo].file}"
            tables.append(_table(rows, f"Values{of}", unit))
    if not tables:
        return ""
    return (
        "".join(tables)
        + '<p class="bc-source">± is the expanded uncertainty (k = 2): about 95 of 100 such '
        "intervals hold the true value. Count is the number of stations or gaps behind a value.</p>"
    )


def _table(rows: list[QuantityRecord], caption: str, unit: LengthUnit) -> str:
    names = dict.fromkeys(row.name for row in rows)
    body = "".join(_group([row for row in rows if row.name == name], unit) for name in names)
    return (
        f'<table class="bc-values"><caption>{text(caption)}</caption><thead><tr>'
        '<th scope="col">Quantity</th><th scope="col">Value ± U</th>'
        f'<th scope="col">Count</th></tr></thead>{body}</table>'
    )


def _group(rows: list[QuantityRecord], unit: LengthUnit) -> str:
    """Rows of one quantity under its name; a quantity with one row carries its name there."""
    if len(rows) == 1:
        alone = full_words(rows[0].name, rows[0].statistic, rows[0].side)
        return f'<tbody class="bc-lone">{_row(rows[0], alone, unit)}</tbody>'
    name = quantity_words(rows[0].name)
    lines = "".join(
        _row(row, statistic_words(row.name, row.statistic, row.side) or name, unit) for row in rows
    )
    return (
        f'<tbody><tr class="bc-group"><th scope="rowgroup" colspan="3">{capital(name)}</th></tr>'
        f"{lines}</tbody>"
    )


def _row(row: QuantityRecord, name: str, unit: LengthUnit) -> str:
    value = text(value_words(row.value, row.expanded_uncertainty, row.unit, unit))
    return (
        f'<tr><th scope="row">{capital(name)}</th>'
        f"<td>{unbroken(value)}</td><td>{row.count}</td></tr>"
    )


def not_measured(result: Result) -> str:
    """Markup of what was not measured, why, and how to get it; alike reasons stand together."""
    groups: dict[tuple[str, str, int | None], list[NotMeasuredRecord]] = {}
    for record in result.not_measured:
        groups.setdefault((record.reason, record.how_to, record.photo), []).append(record)
    if not groups:
        return ""
    several = len(result.photos) > 1
    items = []
    for (reason, how_to, photo), records in groups.items():
        names = listed(dict.fromkeys(quantity_words(record.name) for record in records))
        where = ""
        if several and photo is not None:
            where = f" ({result.photos[photo].file})"
        items.append(
            f"<dt>{capital(names + where)}</dt>"
            f"<dd>{sentence(reason)} <strong>To get it:</strong> {sentence(how_to)}</dd>"
        )
    return f'<h3>Not measured</h3><dl class="bc-missing">{"".join(items)}</dl>'
