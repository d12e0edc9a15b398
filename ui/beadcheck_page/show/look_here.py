"""The places to look at, with the numbers that they have in the picture."""

from beadcheck.report.column import tied
from beadcheck.report.look_here import HEADING, look_here_groups, place_words
from beadcheck.report.wording import LengthUnit
from beadcheck.result import IndicationRecord, Result
from beadcheck_page.show.markup import sentence, text


def look_here(result: Result, unit: LengthUnit) -> str:
    """Markup of a list for each photo with places to look at; empty where there are none."""
    several = len(result.photos) > 1
    lists = []
    for index, photo in enumerate(result.photos):
        records = [each for each in result.indications if each.photo == index]
        if records:
            of = f"<h4>{text(photo.file)}</h4>" if several else ""
            lists.append(of + _list(records, unit))
    return f"<h3>{text(HEADING)}</h3>{''.join(lists)}" if lists else ""


def _list(records: list[IndicationRecord], unit: LengthUnit) -> str:
    items = []
    for group in look_here_groups(records):
        items += [
            f'<li><strong class="bc-look-number">{each.number}</strong>'
            f"<span>{sentence(tied(place_words(each, unit)))}</span></li>"
            for each in group.indications
        ]
        items.append(f'<li class="bc-why">{text(group.look_here)}</li>')
    return f'<ul class="bc-look-here">{"".join(items)}</ul>'
