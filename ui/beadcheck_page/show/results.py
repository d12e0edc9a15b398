"""The finished measurement, most needed first."""

from urllib.parse import quote

from beadcheck.report.entered import photo_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.wording import (
    LengthUnit,
    finding_count_words,
    unchecked_words,
)
from beadcheck.result import PhotoRecord, Result
from beadcheck_page.bare_photos import shows_no_target
from beadcheck_page.correcting import photos_to_correct
from beadcheck_page.orders import Outcome
from beadcheck_page.show.advice import advice
from beadcheck_page.show.correcting import panel_words
from beadcheck_page.show.findings import findings
from beadcheck_page.show.look_here import look_here
from beadcheck_page.show.markup import listed, sentence, text
from beadcheck_page.show.sections import sections
from beadcheck_page.show.targets import PAPERS
from beadcheck_page.show.values import not_measured, value_tables
from beadcheck_page.show.ways import to_ways
from beadcheck_page.show.whole_weld import whole_weld


def results(outcome: Outcome | None, unit: LengthUnit) -> str:
    """Markup of a finished measurement; empty where there is none."""
    if outcome is None:
        return ""
    result = outcome.result_in(unit)
    pictures = "".join(
        _photo(outcome, index, record, unit) for index, record in enumerate(result.photos)
    )
    usable = " data-usable" if _any_usable(outcome) else ""
    return (
        f'<section class="bc-results" data-result="{outcome.key}"{usable} '
        'aria-labelledby="bc-result">'
        '<h2 id="bc-result" tabindex="-1">Result</h2>'
        f'<p class="bc-counts">{_summary(result)}</p>'
        f'<p class="bc-caution">{text(result.caution)}</p>'
        f"{whole_weld(outcome, unit)}{pictures}{findings(result, unit)}{to_ways(outcome)}"
        f"{sections(outcome, unit)}{value_tables(result, unit)}"
        f"{look_here(result, unit)}{not_measured(result)}{advice(result, unit)}"
        f"{_sheet(outcome, unit)}{_downloads(outcome)}</section>"
    )


def _summary(result: Result) -> str:
    refused = [photo.file for photo in result.photos if not photo.usable]
    if len(refused) == len(result.photos):
        return "Nothing could be measured; the reason is under the photo."
    unusable = f" {text(listed(refused))}: could not be measured." if refused else ""
    limits = f" Limits: {text(result.limits)}." if result.limits and result.checks else ""
    unchecked = unchecked_words(result.photos)
    counted = "" if unchecked and not result.checks else finding_count_words(result.checks)
    return (
        " ".join(each for each in (sentence(counted) + limits, text(unchecked)) if each) + unusable
    )


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
        f"{_kind(record)} {sentence(in_unit(problem.message, unit))}</li>"
        for problem in record.problems
    )
    return (
        f'<figure class="bc-figure-photo">{picture}<figcaption>{text(record.file)}: '
        f"{text(photo_words(record, unit))}."
        f"{f'<ul>{problems}</ul>' if problems else ''}{_offer(record)}</figcaption>"
        f"{_correct(outcome, index)}</figure>"
    )


def _offer(record: PhotoRecord) -> str:
    """Button that measures a photo in which no target was seen without one."""
    if not shows_no_target(record):
        return ""
    return (
        "<p>Is there none in this photo? Then it can still be measured, in pixels and in percent "
        "of the mean, not in mm.</p>"
        '<button type="button" class="bc-button" data-bare>Measure without a target'
        f'<span class="bc-hidden"> in {text(record.file)}</span></button>'
    )


def _correct(outcome: Outcome, index: int) -> str:
    """Button that opens the photo for correcting a toe by hand."""
    photo = outcome.photos[index]
    if photo not in photos_to_correct(outcome):
        return ""
    found = any(each.photo == index for each in outcome.result.stations)
    return (
        f'<button type="button" class="bc-small" data-correct="{photo.key}">'
        f"{panel_words(found=found)}"
        f'<span class="bc-hidden"> in {text(photo.name)}</span></button>'
    )


def _kind(record: PhotoRecord) -> str:
    return "<strong>Note:</strong>" if record.usable else "<strong>Not measured:</strong>"


def _any_usable(outcome: Outcome) -> bool:
    return any(photo.usable for photo in outcome.result.photos)


def _sheet(outcome: Outcome, unit: LengthUnit) -> str:
    """Links to the sheet; none where nothing was measured that it could hold."""
    if not _any_usable(outcome):
        return ""
    # Not marked as downloads: the page's own script fetches them, and shows why there is none.
    links = "".join(
        f'<a class="bc-button" href="/results/{outcome.key}/sheet/{paper}?unit={unit.value}">'
        f"Sheet to print, {name}</a>"
        for paper, name in PAPERS
    )
    return (
        "<h3>On paper</h3><p>Result, marked photos, sections and findings, with lines for the "
        f'inspector’s own readings. It takes some seconds.</p><div class="bc-links">{links}</div>'
    )


def _downloads(outcome: Outcome) -> str:
    links = "".join(
        f'<li><a class="bc-button" download href="/results/{outcome.key}/{quote(name)}">'
        f"Save {text(name)}</a> <span>{text(words)}</span></li>"
        for name, words in outcome.downloads
    )
    return f'<h3>Files</h3><ul class="bc-downloads">{links}</ul>'
