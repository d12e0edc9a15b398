"""A weld from several photos as a table for a terminal: a row for each sector."""

from rich.console import RenderableType
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

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


def whole_weld_parts(whole: WholeWeldRecord, unit: LengthUnit) -> list[RenderableType]:
    """Heading, a row for each sector, and what is said of the whole."""
    heads = sector_heads(whole)
    table = Table(box=None, pad_edge=False)
    table.add_column("o'clock" if whole.shape == "pipe" else "along", no_wrap=True)
    table.add_column("seen", justify="right")
    for head in heads:
        table.add_column(head_words(head), justify="right")
    for sector in whole.sectors:
        cells = ("\n".join(sector_cell(sector, head, unit)) for head in heads)
        table.add_row(sector_words(whole, sector), f"{100.0 * sector.covered_ratio:.0f} %", *cells)
    return [
        Rule(Text(whole_title(whole), style="bold"), align="left", characters="─"),
        table,
        Text("Each value ± U (k = 2).", style="dim"),
        *(Text(line) for line in whole_lines(whole, unit)),
    ]
