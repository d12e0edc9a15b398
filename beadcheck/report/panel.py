"""The words under the photo: figures, findings, what was not measured, advice, caution."""

from functools import partial
from typing import Final

from beadcheck.limits import Finding
from beadcheck.report.advised import advice_words, change_words
from beadcheck.report.column import BODY, SMALL, Column
from beadcheck.report.drawing import MUTED, Drawing
from beadcheck.report.finding_words import check_words, judged_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.look_here_list import put_look_here
from beadcheck.report.photo_lines import photo_lines
from beadcheck.report.shares import value_rows
from beadcheck.report.wording import (
    FINDING_ORDER,
    LengthUnit,
    finding_count_words,
    full_words,
    not_measured_words,
    statistic_words,
    unchecked_words,
    value_lines,
    value_words,
)
from beadcheck.result import (
    CheckRecord,
    NotMeasuredRecord,
    PhotoRecord,
    QuantityRecord,
    Result,
    concerns,
)
from beadcheck.result.whose import OfPhotos

CARDS_IN_A_ROW: Final = 3


def result_panel(result: Result, photo_index: int, *, width_px: int, unit: LengthUnit) -> Drawing:
    """Words that belong to one photo of a result."""
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.01 * width_px)
    quantities = [each for each in result.quantities if _belongs(each, photo_index)]
    checks = [each for each in result.checks if _belongs(each, photo_index)]
    missing = [each for each in result.not_measured if _belongs(each, photo_index)]
    indications = [each for each in result.indications if each.photo == photo_index]
    if quantities:
        _put_figures(column, quantities, unit)
    for line in photo_lines(result, photo_index, unit):
        column.paragraph(line, round(column.width_px / BODY))
    unchecked = unchecked_words([result.photos[photo_index]])
    _put_findings(column, checks, _limits_line(result, checks, unchecked), unit)
    _put_advice(column, result, unit)
    put_look_here(column, indications, unit)
    _put_not_measured(column, missing)
    _put_notes(column, result.photos[photo_index], unit)
    _put_caution(column, result)
    return column.drawn()


def _belongs(record: OfPhotos, photo_index: int) -> bool:
    """Whether a record is this photo's, its pair's, or everybody's."""
    everybodys = record.photo is None and not record.photos
    return everybodys or concerns(record, photo_index)


def refusal_panel(result: Result, photo_index: int, *, width_px: int) -> Drawing:
    """Why one photo could not be measured, large, and what to do."""
    big = round(width_px / 26)
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.5 * big)
    column.sign(Finding.NOT_MEASURED, big)
    column.paragraph("This photo could not be measured", big, bold=True, indent_px=1.8 * big)
    column.gap(0.3 * big)
    refusal, *warnings = result.photos[photo_index].problems
    column.paragraph(refusal.message, big)
    column.gap(0.4 * big)
    for warning in warnings:
        column.paragraph(warning.message, round(column.width_px / BODY), lead="Note:")
    column.gap(0.4 * big)
    _put_caution(column, result)
    return column.drawn()


def caution_panel(result: Result, *, width_px: int) -> Drawing:
    """Whose judgement is final, for a picture whose other words stand beside it."""
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.01 * width_px)
    _put_caution(column, result)
    return column.drawn()


def _put_figures(column: Column, quantities: list[QuantityRecord], unit: LengthUnit) -> None:
    """Put a card for each quantity, three in a row: its first value large, the others under it."""
    step = column.inner_px / CARDS_IN_A_ROW
    kinds = list(dict.fromkeys((each.name, _is_stated(each)) for each in quantities))
    cards = [
        [each for each in quantities if (each.name, _is_stated(each)) == kind] for kind in kinds
    ]
    for start in range(0, len(cards), CARDS_IN_A_ROW):
        top, lowest = column.y_px, column.y_px
        for index, card in enumerate(cards[start : start + CARDS_IN_A_ROW]):
            column.y_px = top
            _put_card(column, card, unit, left_px=index * step, width_px=0.95 * step)
            lowest = max(lowest, column.y_px)
        column.y_px = lowest + 0.01 * column.width_px
    small = round(column.width_px / SMALL)
    column.paragraph("± is the expanded uncertainty U (k = 2)", small, colour=MUTED)
    column.gap(0.5 * small)


def _put_card(
    column: Column,
    card: list[QuantityRecord],
    unit: LengthUnit,
    *,
    left_px: float,
    width_px: float,
) -> None:
    small, figure = round(column.width_px / SMALL), round(column.width_px / 38)
    put = partial(column.paragraph, indent_px=left_px, room_px=width_px)
    top, *rows = value_rows(card)
    first = top.quantity
    words = full_words(first.name, first.statistic, first.side)
    put(f"{words}, from the settings" if _is_stated(first) else words, small)
    value, *inches = value_lines(first.value, first.expanded_uncertainty, first.unit, unit)
    put(value, figure, bold=True)
    for line in (*inches, top.share_words):
        if line:
            put(line, small, bold=True)
    for row in rows:
        each = row.quantity
        words = value_words(each.value, each.expanded_uncertainty, each.unit, unit)
        which = statistic_words(each.name, each.statistic, each.side)
        put(f"{which} {words}", small, colour=MUTED)
        if row.share_words:
            indent, room = left_px + small, width_px - small
            put(row.share_words, small, colour=MUTED, indent_px=indent, room_px=room)


def _is_stated(record: QuantityRecord) -> bool:
    """Whether it follows from the settings alone."""
    return record.photo is None and not record.photos


def _limits_line(result: Result, checks: list[CheckRecord], unchecked: str) -> str:
    """Whose limits were checked, and which were not for want of a scale."""
    parts = [unchecked] if unchecked else []
    if result.limits is not None and (checks or not unchecked):
        parts.insert(0, f"Limits: {result.limits}")
    return ". ".join(parts)


def _put_findings(column: Column, checks: list[CheckRecord], limits: str, unit: LengthUnit) -> None:
    """Put each finding with its sign, the ones that ask for something first."""
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    column.rule()
    column.gap(0.5 * body)
    column.paragraph(finding_count_words(checks), body, bold=True)
    if limits:
        column.paragraph(limits, small, colour=MUTED)
    column.gap(0.3 * body)
    for check in sorted(checks, key=lambda each: FINDING_ORDER.index(each.finding)):
        if check.finding is not Finding.NOT_MEASURED:
            told = ". ".join(filter(None, (_capital(judged_words(check)), check.note)))
            _put_finding(column, check.finding, check_words(check, unit), told)
    missing = [check for check in checks if check.finding is Finding.NOT_MEASURED]
    if missing:
        # Why, and how to get them, is said below, once for all.
        words = "; ".join(check_words(check, unit) for check in missing)
        _put_finding(column, Finding.NOT_MEASURED, words, "")
    sources = "; ".join(dict.fromkeys(check.source for check in checks))
    if sources:
        column.paragraph(f"Sources: {sources}", small, colour=MUTED)
    column.gap(0.5 * small)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _put_finding(column: Column, finding: Finding, words: str, note: str) -> None:
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    indent = 1.9 * body
    column.sign(finding, body)
    column.paragraph(words, body, lead=f"{finding.value}:", indent_px=indent)
    if note:
        column.paragraph(note, small, colour=MUTED, indent_px=indent)
    column.gap(0.25 * body)


def _put_advice(column: Column, result: Result, unit: LengthUnit) -> None:
    if not result.advice:
        return
    body, small = round(column.width_px / BODY), round(column.width_px / SMALL)
    first = result.advice[0]
    column.rule()
    column.gap(0.5 * body)
    column.paragraph(change_words(first, unit), body, lead="Next run:", bold=True)
    for label, words in advice_words(first, unit):
        column.paragraph(words, small, lead=f"{label}:", colour=MUTED)
    column.gap(0.4 * small)


def _put_not_measured(column: Column, missing: list[NotMeasuredRecord]) -> None:
    """Put what is missing, once for each way to get it."""
    if not missing:
        return
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    for words in not_measured_words(missing):
        column.paragraph(words, small, lead="Not measured:")
    column.gap(0.4 * small)


def _put_notes(column: Column, photo: PhotoRecord, unit: LengthUnit) -> None:
    """Put the warnings that go with a usable photo."""
    if not photo.problems:
        return
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    for problem in photo.problems:
        column.paragraph(in_unit(problem.message, unit), small, lead="Note:")
    column.gap(0.4 * small)


def _put_caution(column: Column, result: Result) -> None:
    small = round(column.width_px / SMALL)
    column.rule()
    column.gap(0.6 * small)
    column.paragraph(result.caution, small, bold=True)
    column.paragraph(result.made_with, small, colour=MUTED)
    column.gap(0.6 * small)
