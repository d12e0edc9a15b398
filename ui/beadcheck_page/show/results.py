"""The finished measurement, most needed first."""

from urllib.parse import quote

from beadcheck.report.entered import photo_words
from beadcheck.report.in_inches import in_unit
from beadcheck.report.photo_lines import photo_lines
from beadcheck.report.wording import (
    LengthUnit,
    finding_count_words,
    unchecked_words,
)
from beadcheck.result import PhotoRecord, Result
from beadcheck_page.bare_photos import shows_no_target
from beadcheck_page.correcting import photos_to_correct
from beadcheck_page.orders import Outcome
from beadcheck_page.pointing import photo_to_point_at
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
    # What was joined to one weld is told as one first.
    joined = result.whole_weld is not None
    first, last = ("", f"<h3>Photo by photo</h3>{pictures}") if joined else (pictures, "")
    usable = " data-usable" if _any_usable(outcome) else ""
    return (
        f'<section class="bc-results" data-result="{outcome.key}"{usable} '
        'aria-labelledby="bc-result">'
        '<h2 id="bc-result" tabindex="-1">Result</h2>'
        f"{_summary(result)}"
        f'<p class="bc-caution">{text(result.caution)}</p>'
        f"{whole_weld(outcome, unit)}{first}{findings(result, unit)}{to_ways(outcome)}"
        f"{advice(result, unit)}{sections(outcome, unit)}{value_tables(result, unit)}{last}"
        f"{look_here(result, unit)}{not_measured(result)}"
        f"{_sheet(outcome, unit)}{_downloads(outcome)}</section>"
    )


def _summary(result: Result) -> str:
    refused = [photo.file for photo in result.photos if not photo.usable]
    if len(refused) == len(result.photos):
        return '<p class="bc-counts">Nothing could be measured; the reason is under the photo.</p>'
    unchecked = unchecked_words(result.photos)
    counted = "" if unchecked and not result.checks else finding_count_words(result.checks)
    limits = f"Limits: {result.limits}" if result.limits and result.checks else ""
    told = [sentence(each) for each in (counted, limits, unchecked) if each]
    if refused:
        told.append(f"{text(listed(refused))}: could not be measured.")
    return f'<div class="bc-counts">{"".join(f"<p>{each}</p>" for each in told)}</div>'


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
    told = "".join(
        f"<li>{sentence(line)}</li>" for line in photo_lines(outcome.result_in(unit), index, unit)
    )
    return (
        f'<figure class="bc-figure-photo">{picture}<figcaption>{text(record.file)}: '
        f"{text(photo_words(record, unit))}.{f'<ul>{told}</ul>' if told else ''}"
        f"{f'<ul>{problems}</ul>' if problems else ''}{_offer(record)}</figcaption>"
        f'<div class="bc-links">{_point(outcome, index)}{_correct(outcome, index)}</div></figure>'
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


def _point(outcome: Outcome, index: int) -> str:
    """Button that leads to where the weld's two ends are pointed at."""
    photo = outcome.photos[index]
    if photo != photo_to_point_at(outcome):
        return ""
    return (
        '<button type="button" class="bc-small" data-to-pointing>Show where the weld is'
        f'<span class="bc-hidden"> in {text(photo.name)}</span></button>'
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
    together, *single = (
        f'<li><a class="bc-button" download href="/results/{outcome.key}/{quote(name)}">'
        f"Save {text(name)}</a> <span>{text(words)}</span></li>"
        for name, words in outcome.downloads
    )
    return (
        f'<h3>Files</h3><ul class="bc-downloads">{together}</ul>'
        '<details class="bc-fold"><summary>One file alone</summary>'
        f'<ul class="bc-downloads">{"".join(single)}</ul></details>'
    )
