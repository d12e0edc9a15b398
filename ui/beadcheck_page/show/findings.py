"""The findings: word, sign, shape and colour, in this order of weight."""

from typing import Final

from beadcheck.limits import GUARD_BAND_IN_U, DecisionRule, Finding
from beadcheck.limits.check import THICKNESS_MISSING, WIDTH_MISSING
from beadcheck.report.finding_words import judged_words, limit_words
from beadcheck.report.wording import LengthUnit, full_words, value_words
from beadcheck.result import CheckRecord, Result
from beadcheck_page.show.markup import capital, sentence, text, unbroken
from beadcheck_page.show.whose import Whose, grouped, heading_words, parted

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
NOT_GIVEN: Final = "This limit depends on what was not given."
WEIGHTS: Final = {"shall": "demanded (shall)", "should": "recommended (should)"}
NEAR: Final = "the limit lies inside it: measure with a gauge"
FAR: Final = {
    Finding.WITHIN: "the value keeps that far inside the limit",
    Finding.OUTSIDE: "the value lies beyond the limit by more than that",
}
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
    shown, joined = parted(grouped(result.checks), result)
    lists = [_of(key, checks, result, unit) for key, checks in shown.items()]
    if joined:
        outside = any(
            each.finding is Finding.OUTSIDE for checks in joined.values() for each in checks
        )
        lists.append(
            f'<details class="bc-fold"{" open" if outside else ""}><summary>Findings of each photo'
            f"</summary>{''.join(_of(*each, result, unit) for each in joined.items())}</details>"
        )
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
        f"{_looked_for(result)}"
        f'<p class="bc-source">{text(result.not_judged)}</p>'
    )


def _of(key: Whose, checks: list[CheckRecord], result: Result, unit: LengthUnit) -> str:
    """Findings of these photos, under their names where there are others."""
    head = ""
    if len(result.photos) > 1:
        head = f"<h4>{text(heading_words(key, result))}</h4>"
    if key and not any(result.photos[photo].usable for photo in key):
        return f'{head}<ul class="bc-findings">{_item(Finding.NOT_MEASURED, REFUSED, "")}</ul>'
    return head + _list(checks, unit)


def _looked_for(result: Result) -> str:
    if not result.look_for:
        return ""
    return f"<p><b>Look at this pass for:</b> {text(result.look_for)}</p>"


def _list(checks: list[CheckRecord], unit: LengthUnit) -> str:
    """One item for each finding; those that were not measured share the last."""
    ranked = sorted(checks, key=lambda check: ORDER.index(check.finding))
    found = [check for check in ranked if check.finding is not Finding.NOT_MEASURED]
    missing = [check for check in ranked if check.finding is Finding.NOT_MEASURED]
    items = [_found(check, unit) for check in found]
    if missing:
        items.append(_item(Finding.NOT_MEASURED, "", _not_compared(missing) + _sources(missing)))
    return f'<ul class="bc-findings">{"".join(items)}</ul>'


def _not_compared(missing: list[CheckRecord]) -> str:
    """What was not measured with its limit; those whose limit is not known, by the reason."""
    told = [f"{_name(check)}: {_limit(check)}" for check in missing if check.limit is not None]
    unknown: dict[str, list[str]] = {}
    for check in missing:
        if check.limit is None:
            unknown.setdefault(_unknown(check), []).append(_name(check))
    told += [f"{'; '.join(names)}. {text(why)}" for why, names in unknown.items()]
    return f'<ul class="bc-points">{"".join(f"<li>{each}</li>" for each in told)}</ul>'


def _unknown(check: CheckRecord) -> str:
    """Why the limit itself is not known."""
    reasons = (THICKNESS_MISSING, WIDTH_MISSING)
    return next((each for each in reasons if check.note.startswith(each)), NOT_GIVEN)


def _sources(missing: list[CheckRecord]) -> str:
    """Whose limits could not be compared with, on a tap."""
    told = "".join(
        f"<dt>{_name(check)}</dt><dd>{sentence(f'{check.source}: {check.verified}')}</dd>"
        for check in missing
    )
    summary = (
        '<summary>Whose limits<span class="bc-hidden"> were not compared with</span></summary>'
    )
    return f'<details class="bc-reasons">{summary}<dl>{told}</dl></details>'


def _found(check: CheckRecord, unit: LengthUnit) -> str:
    """Value and limit; why, by which rule and on whose word, on a tap."""
    figures = [_limit(check)]
    if check.value is not None:
        value = value_words(check.value, check.expanded_uncertainty, check.unit, unit)
        figures.insert(0, unbroken(text(value)))
    reasons = "".join(
        f"<dt>{label}</dt><dd>{sentence(words)}</dd>"
        for label, words in _reasons(check, unit)
        if words
    )
    told = (
        f"<p>{'; '.join(figures)}</p>"
        f'<p class="bc-source">{sentence(judged_words(check))}</p>'
        '<details class="bc-reasons"><summary>Why, and whose limit'
        f'<span class="bc-hidden"> it is: {_name(check)}</span></summary>'
        f"<dl>{reasons}</dl></details>"
    )
    return _item(check.finding, _name(check), told)


def _reasons(check: CheckRecord, unit: LengthUnit) -> list[tuple[str, str]]:
    """Label and words of what led to a finding."""
    return [
        ("Why", f"{_reckoned(check, unit)} {check.note}".strip()),
        ("Source", check.source),
        ("How its number was verified", check.verified),
        ("Weight", WEIGHTS[check.obligation]),
    ]


def _reckoned(check: CheckRecord, unit: LengthUnit) -> str:
    """How far the guard band reaches, and what that makes of the value; empty where others tell."""
    limits = [each for each in (check.lowest, check.limit) if each is not None]
    if check.value is None or not check.expanded_uncertainty or not limits:
        return ""
    band = GUARD_BAND_IN_U[DecisionRule(check.rule)] * check.expanded_uncertainty
    near = min(abs(check.value - limit) for limit in limits) <= band
    words = NEAR if near and check.finding is Finding.UNDECIDED else FAR.get(check.finding, "")
    told = f"The guard band w is {value_words(band, None, check.unit, unit)} wide here"
    return f"{told}, and {words}." if words else f"{told}."


def _item(finding: Finding, name: str, told: str) -> str:
    return (
        f'<li class="bc-finding bc-{finding.replace(" ", "-")}">'
        f'<svg viewBox="0 0 24 24" aria-hidden="true">{SIGNS[finding]}</svg>'
        f'<div><p><strong class="bc-word">{capital(finding)}:</strong> {name}</p>{told}</div></li>'
    )


def _name(check: CheckRecord) -> str:
    return capital(full_words(check.name, check.statistic, check.side))


def _limit(check: CheckRecord) -> str:
    return f"{text(check.obligation)} be {unbroken(text(limit_words(check)))}"
