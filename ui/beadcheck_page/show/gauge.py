"""Photo against gauge: the fields, and what came of them."""

import json
from base64 import b64encode
from collections.abc import Sequence

from beadcheck.gauge_study import FEWEST_PLACES, Agreement, StudyReading
from beadcheck.report.wording import LengthUnit
from beadcheck.units import inches
from beadcheck_page.gauge_entries import Typed
from beadcheck_page.gauge_places import Compared, Place, places_of
from beadcheck_page.orders import Outcome
from beadcheck_page.show.markup import sentence, text


def gauge_help() -> str:
    """Markup of what is compared, and how to lay the gauge on."""
    return (
        "<p>Lay your gauge or caliper on the weld at the numbered places, and enter what it reads. "
        "What the photo gives there is shown after that: what is known pulls. Leave out what "
        "cannot be reached; three places are the least, all of them say more.</p>"
    )


def nothing_to_gauge(outcome: Outcome | None, compared: Compared) -> str:
    """Markup where there is no place to lay a gauge on."""
    if outcome is None:
        return "<p>Measure a photo first: its places then stand here.</p>"
    if compared is Compared.REINFORCEMENT:
        return "<p>No photo of this result shows the height of the weld, in mm.</p>"
    return "<p>No photo of this result gives a width in mm.</p>"


def gauge_typed(entered: Typed) -> str:
    """Return what the fields' script would have sent."""
    told = {"result": entered.result, "unit": entered.unit, "typed": dict(entered.by_place)}
    return json.dumps(told)


def gauge_rows(outcome: Outcome, compared: Compared, entered: Typed) -> str:
    """Markup of each photo with its numbered places, and a field for each; empty without any."""
    places = places_of(outcome.result, compared)
    if not places:
        return ""
    groups = "".join(
        _photo(outcome, photo, [each for each in places if each.photo == photo], entered)
        for photo in sorted({each.photo for each in places})
    )
    return f'<div data-gauged="{outcome.key} {compared}" data-unit="{entered.unit}">{groups}</div>'


def _photo(outcome: Outcome, index: int, places: Sequence[Place], entered: Typed) -> str:
    photo = outcome.photos[index]
    name = text(photo.name)
    # The font grows with the photo, so that a number is as large on a phone as on the desk.
    size = photo.width_px / 22.0
    lines = "".join(_line(place, size) for place in places if place.line is not None)
    fields = "".join(_field(place, photo.name, entered) for place in places)
    return (
        f'<figure class="bc-gauged"><div class="bc-section-photo">'
        f'<img src="/photos/{photo.key}/preview.jpg" alt="{name}, with its places numbered">'
        f'<svg viewBox="0 0 {photo.width_px} {photo.height_px}" aria-hidden="true">{lines}</svg>'
        f"</div><figcaption>{name}</figcaption></figure>"
        f'<div class="bc-gauge-fields">{fields}</div>'
    )


def _line(place: Place, size: float) -> str:
    if place.line is None:
        return ""
    (x1, y1), (x2, y2) = place.line
    return (
        f'<line class="bc-section-line" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'
        f'<text class="bc-gauge-number" x="{x1:.1f}" y="{y1 - 0.3 * size:.1f}" '
        f'font-size="{size:.0f}">{place.number}</text>'
    )


def _field(place: Place, name: str, entered: Typed) -> str:
    return (
        f'<label class="bc-field"><span><strong>Place {place.number}</strong>'
        f'<span class="bc-hidden"> of {text(name)}</span>: gauge, {entered.unit}</span>'
        f'<input type="text" inputmode="decimal" autocomplete="off" data-place="{place.key}" '
        f'value="{text(entered.by_place.get(place.key, ""))}"></label>'
    )


def compared(
    readings: Sequence[StudyReading],
    agreement: Agreement | None,
    chart_svg: bytes,
    table: str,
    *,
    unit: LengthUnit,
) -> str:
    """Markup of how photo and gauge differ, a plot of it, and the list to save."""
    coded = b64encode(table.encode("utf-8-sig")).decode("ascii")
    saved = (
        '<div class="bc-links"><a class="bc-button" download="gauge-study.csv" '
        f'href="data:text/csv;base64,{coded}">Save gauge-study.csv</a></div>'
        '<p class="bc-source">In mm; <code>beadcheck repeat gauge-study.csv</code> reads it. Lists '
        "of several photos, people or phones may be put together into one.</p>"
    )
    if agreement is None:
        few = f"{len(readings)} of at least {FEWEST_PLACES} places have a gauge reading."
        return f"<p>{few} Enter more to see how far photo and gauge agree.</p>{saved}"
    lines = "".join(f"<li>{sentence(each)}</li>" for each in _sentences(agreement, unit))
    picture = f"data:image/svg+xml;base64,{b64encode(chart_svg).decode('ascii')}"
    return (
        f'<ul class="bc-steady">{lines}</ul>'
        f'<img class="bc-chart" src="{picture}" alt="Plot of photo less gauge at each place, over '
        "the mean of both, with the mean difference and the limits of agreement. What it shows is "
        f'said above it.">{_table(readings, unit)}{saved}'
    )


def _sentences(agreement: Agreement, unit: LengthUnit) -> tuple[str, ...]:
    mean, reach = agreement.mean_difference, agreement.u_mean_difference
    beyond = (
        "more than chance gives: one of them reads high, or they read something else"
        if agreement.differs
        else "no more than chance gives"
    )
    return (
        f"On average the photo reads {_signed(mean, unit)} against the gauge, from "
        f"{_signed(mean - reach, unit)} to {_signed(mean + reach, unit)} with 95 % confidence "
        f"({agreement.places} places): {beyond}",
        f"At a single place, 95 % of differences lie between {_signed(agreement.lower, unit)} and "
        f"{_signed(agreement.upper, unit)} (limits of agreement after Bland and Altman)",
        f"With {agreement.places} places either of these limits is itself sure to "
        f"± {_length(agreement.u_limits, unit)} only",
        "The gauge is no truth: its own uncertainty, and how it was laid on, are in the "
        "differences. What this photo’s scale adds is the same at all of its places: other photos "
        "show that",
    )


def _table(readings: Sequence[StudyReading], unit: LengthUnit) -> str:
    rows = "".join(
        f'<tr><th scope="row">{text(each.part)}</th><td>{_number(each.value, unit)}</td>'
        f"<td>{_number(each.gauge or 0.0, unit)}</td>"
        f"<td>{_number(each.value - (each.gauge or 0.0), unit, sign='+')}</td></tr>"
        for each in readings
    )
    return (
        f'<table class="bc-values bc-members"><caption>Place by place, {unit}</caption><thead><tr>'
        '<th scope="col">Place</th><th scope="col">Photo</th><th scope="col">Gauge</th>'
        f'<th scope="col">Difference</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _length(value_mm: float, unit: LengthUnit) -> str:
    return f"{_number(value_mm, unit)} {unit}"


def _signed(value_mm: float, unit: LengthUnit) -> str:
    return f"{_number(value_mm, unit, sign='+')} {unit}"


def _number(value_mm: float, unit: LengthUnit, *, sign: str = "") -> str:
    if unit is LengthUnit.INCH:
        return f"{inches(value_mm):{sign}.4f}"
    return f"{value_mm:{sign}.2f}"


def not_compared(why: str) -> str:
    """Markup of a refusal to compare."""
    return f'<p class="bc-refusal" role="alert"><strong>Not compared.</strong> {sentence(why)}</p>'
