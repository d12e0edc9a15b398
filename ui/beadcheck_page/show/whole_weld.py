"""The weld from several photos: pictures first, then what is said of it, then its sectors."""

from beadcheck.report.whole.marks import PHOTOGRAPH_HERE
from beadcheck.report.whole.words import (
    head_words,
    sector_cell,
    sector_heads,
    sector_words,
    whole_lines,
    whole_title,
)
from beadcheck.report.wording import LengthUnit
from beadcheck.result import WholeWeldRecord
from beadcheck_page.orders import Outcome, WholePicture
from beadcheck_page.show.markup import capital, sentence, text, unbroken

UNROLLED_WORDS = (
    "The whole weld laid flat, in rows from left to right, with toes, ripples, starts and stops; "
    "what was not seen well is hatched."
)
ROUND_WORDS = "Each quantity round the clock, 12 o’clock on top. Every value is in the table below."
ALONG_WORDS = "Each quantity along the weld. Every value is in the table below."


def whole_weld(outcome: Outcome, unit: LengthUnit) -> str:
    """Markup of the weld from several photos; empty where they were not joined."""
    whole = outcome.result_in(unit).whole_weld
    if whole is None:
        return ""
    lines = "".join(f"<li>{sentence(line)}</li>" for line in whole_lines(whole, unit))
    charts = _picture(outcome, WholePicture.ROUND, unit, ROUND_WORDS)
    charts += _picture(outcome, WholePicture.ALONG, unit, ALONG_WORDS)
    return (
        '<section class="bc-whole" aria-labelledby="bc-whole">'
        f'<h3 id="bc-whole">{text(whole_title(whole))}</h3>'
        f"{_picture(outcome, WholePicture.UNROLLED, unit, UNROLLED_WORDS)}"
        f'<ul class="bc-steady">{lines}</ul>'
        f'<div class="bc-charts">{charts}</div>'
        f'<details class="bc-fold"><summary>Every sector</summary>{_sectors(whole, unit)}</details>'
        "</section>"
    )


def _picture(outcome: Outcome, picture: WholePicture, unit: LengthUnit, words: str) -> str:
    name = outcome.whole_name(picture, unit)
    if name is None:
        return ""
    address = f"/results/{outcome.key}/{name}"
    shape = "bc-flat" if picture is WholePicture.UNROLLED else "bc-chart"
    return (
        f'<a href="{address}" target="_blank" rel="noopener">'
        f'<img class="{shape}" src="{address}" alt="{text(words)}"></a>'
    )


def _sectors(whole: WholeWeldRecord, unit: LengthUnit) -> str:
    """Each sector as a row, its values one under the other: a phone is too narrow for columns."""
    heads = sector_heads(whole)
    body = ""
    for sector in whole.sectors:
        told = "<br>".join(
            f"{capital(head_words(head))} {unbroken(text(_cell(sector_cell(sector, head, unit))))}"
            for head in (heads if sector.values else ())
        )
        place = f"{text(sector_words(whole, sector))}<br>{100.0 * sector.covered_ratio:.0f} % seen"
        body += f'<tr><th scope="row">{place}</th><td>{told or PHOTOGRAPH_HERE}</td></tr>'
    where = "O’clock" if whole.shape == "pipe" else "Along the weld"
    return (
        '<table class="bc-values"><caption>Sectors</caption><thead><tr>'
        f'<th scope="col">{where}</th><th scope="col">Values ± U</th></tr></thead>'
        f"<tbody>{body}</tbody></table>"
    )


def _cell(lines: tuple[str, ...]) -> str:
    metric, *imperial = lines
    return f"{metric} ({imperial[0]})" if imperial else metric
