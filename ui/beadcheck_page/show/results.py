"""The finished measurement, most needed first."""

from urllib.parse import quote

from beadcheck.report.wording import LengthUnit, finding_count_words, photo_words
from beadcheck.result import PhotoRecord, Result
from beadcheck_page.orders import Outcome
from beadcheck_page.show.findings import findings
from beadcheck_page.show.markup import listed, sentence, text
from beadcheck_page.show.values import not_measured, value_tables


def results(outcome: Outcome | None, unit: LengthUnit) -> str:
    """Markup of a finished measurement; empty where there is none."""
    if outcome is None:
        return ""
    result = outcome.result
    pictures = "".join(
        _photo(outcome, index, record, unit) for index, record in enumerate(result.photos)
    )
    return (
        f'<section class="bc-results" data-result="{outcome.key}" aria-labelledby="bc-result">'
        '<h2 id="bc-result" tabindex="-1">Result</h2>'
        f'<p class="bc-counts">{_summary(result)}</p>'
        f'<p class="bc-caution">{text(result.caution)}</p>'
        f"{pictures}{findings(result, unit)}{value_tables(result, unit)}"
        f"{not_measured(result)}{_advice(result)}{_downloads(outcome)}</section>"
    )


def _summary(result: Result) -> str:
    refused = [photo.file for photo in result.photos if not photo.usable]
    if len(refused) == len(result.photos):
        return "Nothing could be measured; the reason is under the photo."
    unusable = f" {text(listed(refused))}: could not be measured." if refused else ""
    limits = f" Limits: {text(result.limits)}." if result.limits and result.checks else ""
    return sentence(finding_count_words(result.checks)) + limits + unusable


def _photo(outcome: Outcome, index: int, record: PhotoRecord, unit: LengthUnit) -> str:
    shown = outcome.picture_name(index, unit)
    picture = ""
    if shown is not None:
        address = f"/results/{outcome.key}/{quote(shown)}"
        drawn = "with both toes, ripples and stations drawn on it" if record.usable else "as sent"
        picture = (
            f'<a href="{address}" target="_blank" rel="noopener">'
            f'<img src="{address}" alt="{text(record.file)}, {drawn}"></a>'
        )
    problems = "".join(
        f'<li class="{"bc-warning" if record.usable else "bc-refused"}">'
        f"{_kind(record)} {sentence(problem.message)}</li>"
        for problem in record.problems
    )
    return (
        f'<figure class="bc-figure-photo">{picture}<figcaption>{text(record.file)}: '
        f"{text(photo_words(record, unit))}."
        f"{f'<ul>{problems}</ul>' if problems else ''}</figcaption></figure>"
    )


def _kind(record: PhotoRecord) -> str:
    return "<strong>Note:</strong>" if record.usable else "<strong>Not measured:</strong>"


def _advice(result: Result) -> str:
    if not result.advice:
        return ""
    items = "".join(
        f"<li><strong>{sentence(advice.symptom)}</strong> {sentence(advice.change)} "
        f'<span class="bc-why">Why: {sentence(advice.why)}</span></li>'
        for advice in result.advice
    )
    return f'<h3>What to change next</h3><ul class="bc-advice">{items}</ul>'


def _downloads(outcome: Outcome) -> str:
    links = "".join(
        f'<li><a class="bc-button" download href="/results/{outcome.key}/{quote(name)}">'
        f"Save {text(name)}</a> <span>{text(words)}</span></li>"
        for name, words in outcome.downloads
    )
    return f'<h3>Files</h3><ul class="bc-downloads">{links}</ul>'
