"""What is said of a joint before it is welded, besides its numbers."""

from typing import Final

from beadcheck.report.wording import LengthUnit, clock_words, value_words
from beadcheck.result import OpeningRecord, Result

WORDS: Final = {"min": "Narrowest", "max": "Widest"}


def fit_up_lines(result: Result, photo_index: int, unit: LengthUnit) -> tuple[str, ...]:
    """Where the root opening of one photo is narrowest and widest, and where its tacks are."""
    sure = [each for each in result.openings if each.photo == photo_index and each.sure]
    if not sure:
        return ()
    ends = {
        "min": min(sure, key=lambda each: each.opening_mm),
        "max": max(sure, key=lambda each: each.opening_mm),
    }
    lines = [
        f"{WORDS[quantity.statistic]} root opening "
        f"{value_words(quantity.value, quantity.expanded_uncertainty, 'mm', unit)} "
        f"{_place(ends[quantity.statistic])}."
        for quantity in result.quantities
        if quantity.photo == photo_index
        and quantity.name == "root_opening"
        and quantity.statistic in WORDS
    ]
    tacks = [each for each in result.tacks if each.photo == photo_index]
    for tack in tacks:
        length = value_words(tack.length_mm, tack.length_U_mm, "mm", unit)
        first, last = tack.s_range_mm
        where = f"from {first:.0f} to {last:.0f} mm along the joint"
        at = "" if tack.clock_deg is None else f" at {clock_words(tack.clock_deg)}"
        lines.append(f"Tack of {length}{at}, {where}.")
    if not tacks:
        lines.append("No tack with both its ends in view.")
    return tuple(lines)


def _place(each: OpeningRecord) -> str:
    if each.clock_deg is None:
        return f"at {each.s_mm:.0f} mm along the joint"
    return f"at {clock_words(each.clock_deg)}"
