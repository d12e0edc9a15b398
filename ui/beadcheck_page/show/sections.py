"""The viewer of sections across the weld; its script draws them."""

from beadcheck.report.wording import LengthUnit
from beadcheck_page.orders import Outcome
from beadcheck_page.sections import SECTIONS_FILE
from beadcheck_page.show.markup import text


def sections(outcome: Outcome, unit: LengthUnit) -> str:
    """Markup of the viewer; empty where no height was measured."""
    if SECTIONS_FILE not in outcome.files:
        return ""
    pictures = '<div class="bc-section-photo" data-relief hidden></div>' + "".join(
        f'<div class="bc-section-photo" data-picture="{index}" hidden>'
        f'<img src="/results/{outcome.key}/{outcome.plain_name(index)}" '
        f'width="{photo.width_px}" height="{photo.height_px}" draggable="false" '
        f'alt="{text(photo.name)}; the section that is shown is a line on it">'
        f'<svg viewBox="0 0 {photo.width_px} {photo.height_px}" aria-hidden="true"></svg></div>'
        for index, photo in enumerate(outcome.photos)
        if outcome.plain_name(index) in outcome.files
    )
    return (
        f'<section class="bc-sections" data-sections="/results/{outcome.key}/{SECTIONS_FILE}" '
        f'data-unit="{unit.value}" aria-labelledby="bc-sections">'
        '<h3 id="bc-sections">Sections across the weld</h3>'
        '<p class="bc-section-how">Tap the photo where you want the section, or move the slider.'
        "</p>"
        '<label class="bc-field bc-section-group" hidden><span>Measured by</span><select></select>'
        f"</label>{pictures}"
        '<p class="bc-section-at" aria-hidden="true"></p>'
        '<div class="bc-tools bc-section-tools">'
        '<button type="button" class="bc-small" data-section="-1" aria-label="Section before">←'
        '</button><input type="range" min="0" value="0" step="1" aria-label="Section">'
        '<button type="button" class="bc-small" data-section="1" aria-label="Next section">→'
        "</button></div>"
        '<div class="bc-plot"></div><ul class="bc-section-says"></ul>'
        '<p class="bc-source bc-section-key">The band round the line is the expanded uncertainty '
        "(k = 2) of each height; 0 is the base metal. Where the line is broken, nothing was seen."
        "</p></section>"
    )
