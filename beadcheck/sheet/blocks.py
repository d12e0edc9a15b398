"""The parts of a sheet that are words: facts, values, findings, advice, the inspector's lines."""

from collections.abc import Iterable, Sequence
from typing import Final
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color, black
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer, Table, TableStyle

from beadcheck.limits import Finding
from beadcheck.report.advised import advice_words, change_words
from beadcheck.report.entered import coupon_words, photo_words, settings_words
from beadcheck.report.finding_words import check_words, likely_words
from beadcheck.report.wording import (
    FINDING_ORDER,
    LengthUnit,
    finding_count_words,
    not_measured_words,
    quantity_words,
)
from beadcheck.result import CheckRecord, Result
from beadcheck.result.whose import OfPhotos
from beadcheck.sheet.facts import SheetFacts
from beadcheck.sheet.type import BODY, BODY_PT, HEADING, PLAIN, SMALL, STRONG

RULE: Final = Color(0.72, 0.72, 0.74)
HAND_LINE: Final = "_" * 24
SIGNS: Final = {
    Finding.WITHIN: "✓",
    Finding.OUTSIDE: "✗",
    Finding.UNDECIDED: "?",
    Finding.NOT_MEASURED: "–",
}
"""Beside the word, never instead of it."""
GRID: Final = TableStyle(
    [
        ("FONT", (0, 0), (-1, -1), PLAIN, BODY_PT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 1.2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.6),
    ]
)
BARE: Final = TableStyle([each for each in GRID.getCommands() if each[0] != "LINEBELOW"])
"""The same without lines."""


def words(text: str, style: ParagraphStyle = BODY, *, lead: str = "") -> Paragraph:
    """Return a paragraph of plain text: nothing in it is taken for markup."""
    strong = f'<font name="{STRONG.fontName}">{escape(lead)}</font> ' if lead else ""
    return Paragraph(strong + escape(text), style)


def fact_lines(
    result: Result, facts: SheetFacts, unit: LengthUnit, *, columns: int
) -> list[Flowable]:
    """Whose coupon it is, how it was welded, and how each photo was taken."""
    without_target = all(photo.without_target for photo in result.photos)
    entered = coupon_words(result.coupon, unit, without_target=without_target)
    settings = settings_words(result.settings, result.coupon, unit)
    told = (
        ("Coupon", facts.coupon),
        ("Welder", facts.welder),
        ("Photos by", facts.taken_by),
        ("Date", facts.taken_on),
    )
    cells = [(words(name, STRONG), words(text or HAND_LINE)) for name, text in told]
    rows = [
        [cell for pair in cells[k : k + columns] for cell in pair]
        for k in range(0, len(cells), columns)
    ]
    table = Table(rows, colWidths=[19 * mm, None] * columns, style=BARE)
    lines: list[Flowable] = [table]
    if entered:
        lines.append(words(entered, lead="Joint:"))
    lines.append(words(settings or "not entered", lead="Settings:"))
    for number, photo in enumerate(result.photos, start=1):
        about = [f"{photo.file}, {photo_words(photo, unit)}."]
        about += [problem.message for problem in photo.problems]
        lines.append(words(" ".join(about), SMALL, lead=f"Photo {number}:"))
    return lines


def finding_table(result: Result, unit: LengthUnit) -> list[Flowable]:
    """Each limit with its finding in a word and a sign; of several photos, the least favourable."""
    if not result.checks:
        return [words("No limit was checked.", lead="Findings:")]
    measured = _least_favourable(result.checks)
    decided = {check.name for check in measured}
    missing = [check for check in result.checks if check.name not in decided]
    authorities = list(dict.fromkeys(_authority(check) for check in measured or missing))
    several = len(result.photos) > 1
    rows = [
        [
            words(f"{SIGNS[check.finding]} {check.finding.value}", STRONG),
            [words(check_words(check, unit)), *_small(check.note)],
            words(_beside(check, authorities, several=several), SMALL),
        ]
        for finding in FINDING_ORDER
        for check in measured
        if check.finding is finding
    ]
    parts: list[Flowable] = [words(f"Against {result.limits or 'limits'}", HEADING)]
    parts.append(words(f"{finding_count_words(result.checks)}."))
    if rows:
        parts.append(Table(rows, colWidths=[24 * mm, None, 33 * mm], style=GRID))
    if missing:
        names = dict.fromkeys(quantity_words(check.name) for check in missing)
        sign = SIGNS[Finding.NOT_MEASURED]
        parts.append(words(f"{', '.join(names)}.", lead=f"{sign} not measured:"))
    many = len(authorities) > 1 and bool(measured)
    for number, authority in enumerate(authorities, start=1):
        parts.append(words(authority, SMALL, lead=f"Source {number}:" if many else "Source:"))
    if result.look_for:
        parts.append(words(result.look_for, lead="Look at this pass for:"))
    if result.not_judged:
        parts.append(words(result.not_judged, SMALL))
    return parts


def _least_favourable(checks: Sequence[CheckRecord]) -> list[CheckRecord]:
    """Of comparisons of one statistic with one limit, the one that asks for most."""
    order = {finding: rank for rank, finding in enumerate(FINDING_ORDER)}
    worst: dict[tuple[str, str | None, float | None, str], CheckRecord] = {}
    ranked = sorted(
        (check for check in checks if check.finding is not Finding.NOT_MEASURED),
        key=lambda check: (order[check.finding], check.conformity_probability or 0.0),
    )
    for check in ranked:
        worst.setdefault((check.name, check.statistic, check.limit, check.source), check)
    return list(worst.values())


def _small(note: str) -> list[Flowable]:
    return [words(note, SMALL)] if note else []


def _beside(check: CheckRecord, authorities: Sequence[str], *, several: bool) -> str:
    """Which photo a finding is of, how probable it is, and which source it goes by."""
    told = []
    if several:
        told.append(photos_words(check))
    if check.conformity_probability is not None:
        told.append(f"{likely_words(check.conformity_probability)} likely to conform")
    if len(authorities) > 1:
        told.append(f"source {authorities.index(_authority(check)) + 1}")
    return ", ".join(told)


def _authority(check: CheckRecord) -> str:
    rule = f"guard band {check.rule}" if check.rule else ""
    # A source that nobody published names itself so.
    verified = "" if "no published source" in check.source else check.verified
    return "; ".join(dict.fromkeys(each for each in (check.source, verified, rule) if each))


def photos_words(record: OfPhotos) -> str:
    """Which photos a record comes from.

    Examples
    --------
    >>> from beadcheck.result import Whose
    >>> photos_words(Whose.together([3, 4])), photos_words(Whose.coupon([0, 1]))
    ('photos 4 and 5', 'coupon')
    """
    if getattr(record, "scope", "photo") == "coupon":
        return "coupon"
    if record.photo is not None:
        return f"photo {record.photo + 1}"
    numbers = [str(number + 1) for number in record.photos]
    return f"photos {' and '.join(numbers)}" if numbers else "coupon"


def missing_lines(result: Result) -> list[Flowable]:
    """What was not measured, why, and how to get it."""
    return [words(text, SMALL, lead="Not measured:") for text in _unique(result)]


def _unique(result: Result) -> Iterable[str]:
    return dict.fromkeys(not_measured_words(result.not_measured))


def advice_lines(result: Result, most: int, unit: LengthUnit) -> list[Flowable]:
    """Up to `most` pieces of advice, the most pressing first, with what stands beside each."""
    if not result.advice:
        return []
    parts: list[Flowable] = [words("Next run", HEADING)]
    for number, advice in enumerate(result.advice[:most], start=1):
        beside = [
            words(text, SMALL, lead=f"{label}:") for label, text in advice_words(advice, unit)
        ]
        parts.append(KeepTogether([words(change_words(advice, unit), lead=f"{number}."), *beside]))
    return parts


def since_lines(facts: SheetFacts) -> list[Flowable]:
    """What changed since the welder's last run; nothing where none is known."""
    if not facts.since:
        return []
    return [KeepTogether([words("Since the last run", HEADING), *map(words, facts.since)])]


def inspector_lines(result: Result, checked: Sequence[str]) -> list[Flowable]:
    """Empty lines for the inspector's own readings, verdict and signature, and the caution."""
    own = [
        [words(name), words("gauge: ______________"), words("by eye: __________________________")]
        for name in checked
    ]
    blank = [
        words(f"Inspector: {HAND_LINE}"),
        words("Accepted / rejected: _______"),
        words("Date, signature: ___________________"),
    ]
    box = Table(
        [
            [words("For the inspector", STRONG), [], []],
            *own,
            blank,
            [words(result.caution, STRONG), [], []],
        ],
        colWidths=[None, 52 * mm, 66 * mm],
        style=TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), PLAIN, BODY_PT),
                ("BOX", (0, 0), (-1, -1), 0.9, black),
                ("SPAN", (0, 0), (-1, 0)),
                ("SPAN", (0, -1), (-1, -1)),
                ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
                ("TOPPADDING", (0, 1), (-1, -2), 7),
                ("TOPPADDING", (0, -1), (-1, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
            ]
        ),
    )
    return [Spacer(0, 3 * mm), KeepTogether([box])]
