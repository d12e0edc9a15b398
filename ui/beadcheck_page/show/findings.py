"""The findings: word, sign, shape and colour, in this order of weight."""

from typing import Final

from beadcheck.limits import Finding
from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck.result import CheckRecord, Result
from beadcheck_page.show.markup import capital, sentence, text, unbroken
from beadcheck_page.show.whose import grouped, whose_words

SIGNS: Final = {
    Finding.WITHIN: '<circle cx="12" cy="12" r="11"/><path class="bc-ink" d="M6 12.5l4 4 8-9"/>',
    Finding.OUTSIDE: '<path d="M1 1h22v22H1z"/><path class="bc-ink" d="M7 7l10 10M17 7L7 17"/>',
    Finding.UNDECIDED: (
        '<path d="M12 0l12 22H0z"/><path class="bc-ink" d="M9.6 10.4a2.5 2.5 0 1 1 3.4 2.4'
        'c-.7.3-1 .8-1 1.7m0 3.4v.1"/>'
    ),
    Finding.NOT_MEASURED: (
        '<circle class="bc-hollow" cx="12" cy="12" r="10.5"/><path class="bc-ink" d="M7 12h10"/>'
    ),
}
"""Disc, square, triangle, ring: told apart without colour, and the same as on the pictures."""

ORDER: Final = (Finding.OUTSIDE, Finding.UNDECIDED, Finding.WITHIN, Finding.NOT_MEASURED)
REFUSED: Final = "The reason is under the photo."
MEANINGS: Final = {
    Finding.WITHIN: "inside the limit, even with the uncertainty counted against it",
    Finding.OUTSIDE: "beyond the limit by more than the uncertainty",
    Finding.UNDECIDED: "the limit lies inside the uncertainty: measure with a gauge",
    Finding.NOT_MEASURED: "the photo does not show it",
}


def findings(result: Result, unit: LengthUnit) -> str:
    """Markup of the findings, photo by photo; empty where nothing was compared."""
    if not result.checks or not any(photo.usable for photo in result.photos):
        return ""
    several = len(result.photos) > 1
    lists = []
    for key, checks in grouped(result.checks).items():
        if several:
            lists.append(f"<h4>{text(whose_words(key, result)) if key else 'The coupon'}</h4>")
        if key and not any(result.photos[photo].usable for photo in key):
            lists.append(f'<ul class="bc-findings">{_item(Finding.NOT_MEASURED, REFUSED, "")}</ul>')
        else:
            lists.append(_list(checks, unit))
    found = {check.finding for check in result.checks}
    meanings = "".join(
        f"<dt>{capital(finding)}</dt><dd>{text(MEANINGS[finding])}</dd>"
        for finding in ORDER
        if finding in found
    )
    return (
        f"<h3>Findings</h3>{''.join(lists)}"
        '<details class="bc-fold"><summary>What the words mean</summary>'
        f"<dl>{meanings}</dl></details>"
    )


def _list(checks: list[CheckRecord], unit: LengthUnit) -> str:
    """One item for each finding; those that were not measured share the last."""
    ranked = sorted(checks, key=lambda check: ORDER.index(check.finding))
    found = [check for check in ranked if check.finding is not Finding.NOT_MEASURED]
    missing = [check for check in ranked if check.finding is Finding.NOT_MEASURED]
    items = [_found(check, unit) for check in found]
    if missing:
        told = "".join(f"<p>{_name(check)}: {_limit(check, unit)}</p>" for check in missing)
        items.append(_item(Finding.NOT_MEASURED, "", told))
    return f'<ul class="bc-findings">{"".join(items)}</ul>'


def _found(check: CheckRecord, unit: LengthUnit) -> str:
    figures = [_limit(check, unit)]
    if check.value is not None:
        value = value_words(check.value, check.expanded_uncertainty, check.unit, unit)
        figures.insert(0, unbroken(text(value)))
    small = " ".join(filter(None, (sentence(check.note), sentence(_source(check)))))
    told = f'<p>{"; ".join(figures)}</p><p class="bc-source">{small}</p>'
    return _item(check.finding, _name(check), told)


def _item(finding: Finding, name: str, told: str) -> str:
    return (
        f'<li class="bc-finding bc-{finding.replace(" ", "-")}">'
        f'<svg viewBox="0 0 24 24" aria-hidden="true">{SIGNS[finding]}</svg>'
        f'<div><p><strong class="bc-word">{capital(finding)}:</strong> {name}</p>{told}</div></li>'
    )


def _name(check: CheckRecord) -> str:
    return capital(full_words(check.name, check.statistic, check.side))


def _limit(check: CheckRecord, unit: LengthUnit) -> str:
    if check.limit is None:
        return "the limit depends on what was not given"
    limit = value_words(check.limit, None, check.unit, unit)
    return f"{text(check.obligation)} be {unbroken(text(f'{check.sense} {limit}'))}"


def _source(check: CheckRecord) -> str:
    """Whose limit it is, and how its number was verified where the source does not say so."""
    *_, way = check.verified.split(", ")
    return f"{check.source} ({check.verified})" if way not in check.source else check.source
