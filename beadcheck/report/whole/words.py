"""What is said of a weld from several photos, in words and rows."""

from typing import Final

from beadcheck.report.in_inches import in_unit
from beadcheck.report.layer_words import whole_layer_lines
from beadcheck.report.wording import LengthUnit, quantity_words, value_lines, value_words
from beadcheck.result import (
    BeyondLimitRecord,
    SectorRecord,
    SectorValueRecord,
    WholeWeldRecord,
)
from beadcheck.whole_weld.clock import Clock

SHOWN: Final = (
    ("weld_width", "mean"),
    ("weld_width", "sd"),
    ("ripple_spacing", "mean"),
    ("pulse_overlap", "mean"),
    ("face_reinforcement", "max"),
    ("root_reinforcement", "max"),
    ("underfill", "max"),
    ("undercut_depth", "max"),
)
"""Columns of the table by sector, as many as a terminal of 80 letters holds; every other value
stands in the file for spreadsheets."""
HEADS: Final = {
    ("weld_width", "mean"): "width",
    ("weld_width", "sd"): "spread",
}
NOTHING: Final = "–"


def whole_title(whole: WholeWeldRecord) -> str:
    """Heading over everything that is said of it."""
    way = "all the way round" if whole.shape == "pipe" else "from end to end"
    return f"The weld {way}, from {len(whole.photos)} photos"


def sector_heads(whole: WholeWeldRecord) -> tuple[tuple[str, str], ...]:
    """Quantity and statistic of each column that any sector fills."""
    filled = {(value.name, value.statistic) for each in whole.sectors for value in each.values}
    return tuple(head for head in SHOWN if head in filled)


def head_words(head: tuple[str, str]) -> str:
    """Words over a column."""
    return HEADS.get(head, quantity_words(head[0]))


def sector_words(whole: WholeWeldRecord, sector: SectorRecord) -> str:
    """From where to where a sector goes: clock positions, or mm."""
    clock = Clock(length_mm=whole.length_mm, sense=whole.clock_sense)
    if whole.shape != "pipe":
        return f"{sector.from_arc_mm:.0f} to {sector.to_arc_mm:.0f} mm"
    first, last = (
        clock.words(each).removesuffix(" o'clock")
        for each in (sector.from_arc_mm, sector.to_arc_mm)
    )
    return f"{first} to {last}"


def sector_cell(sector: SectorRecord, head: tuple[str, str], unit: LengthUnit) -> tuple[str, ...]:
    """Value ± U, inches on a line of their own; of two toes the greater."""
    held = [value for value in sector.values if (value.name, value.statistic) == head]
    if not held:
        return (NOTHING,)
    value: SectorValueRecord = max(held, key=lambda each: each.value)
    return value_lines(value.value, value.expanded_uncertainty, value.unit, unit)


def whole_lines(whole: WholeWeldRecord, unit: LengthUnit) -> tuple[str, ...]:
    """Sentences on the whole weld: closure, count, halves, limits, starts, and where to go back."""
    lines: list[str] = []
    if whole.closure is not None:
        lines.append(whole.closure.words)
    lines += [gap.words for gap in whole.gaps]
    if whole.crest_count_words:
        lines.append(whole.crest_count_words)
    lines += whole_layer_lines(whole.layer, LengthUnit.MM)
    lines += [_beyond_words(whole, each) for each in whole.beyond_limits]
    lines += [half.words for half in whole.halves]
    lines += [each.words for each in whole.start_stops]
    return tuple(in_unit(line, unit) for line in lines)


def _beyond_words(whole: WholeWeldRecord, each: BeyondLimitRecord) -> str:
    """By how much and where a quantity lies beyond its limit, and whether that is sure."""
    clock = Clock(length_mm=whole.length_mm, sense=whole.clock_sense)
    first, last = clock.words(each.from_arc_mm), clock.words(each.to_arc_mm)
    where = f"at {first}" if first == last else f"from {first} to {last}"
    most = value_words(each.beyond, each.expanded_uncertainty, each.unit, LengthUnit.MM)
    doubt = "" if each.sure else "; that is within its uncertainty"
    return (
        f"{quantity_words(each.name).capitalize()} {where}: beyond its limit by up to {most}"
        f"{doubt}."
    )
