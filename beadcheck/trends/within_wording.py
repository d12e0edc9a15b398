"""In plain sentences: where along or round their welds somebody's width strays."""

from typing import Final

import numpy as np

from beadcheck.report.wording import LengthUnit, clock_words, value_words
from beadcheck.trends.within import WithinWelds, WorstPlace, worst_place
from beadcheck.units import Unit

THIRD_WORDS: Final = ("first third", "middle third", "last third")
"""Distances along a weld grow from the left of a photo, or from its top."""
_DEGREES: Final = 360.0


def place_words(place: int, count: int, *, around: bool) -> str:
    """Name of a place.

    Examples
    --------
    >>> place_words(5, 12, around=True)
    'near 5:00 (150°)'
    >>> place_words(0, 3, around=False)
    'in the first third of the photo, from its left or top'
    """
    if around:
        return f"near {clock_words(place * _DEGREES / count)}"
    return f"in the {THIRD_WORDS[place]} of the photo, from its left or top"


def within_lines(within: WithinWelds | None, unit: LengthUnit) -> list[str]:
    """Where the width strays farthest from each weld's own mean, and whether that got less."""
    if within is None:
        return []
    way = "Round the clock" if within.around else "Along the weld"
    count = within.strayed_mm.shape[1]
    worst = worst_place(within)
    if worst is None:
        return [_even_words(within, way, unit)]
    lines = [f"{way} the width strays most {_worst_words(worst, count, within, unit)}"]
    moved = worst.over_time
    if moved is not None:
        verb = "fell" if moved.difference < 0.0 else "rose"
        words = (
            f"There it {verb} from {_told(moved.before, unit)} in the first {moved.welds_before} "
            f"welds to {_told(moved.after, unit)} in the latest {moved.welds_after}"
        )
        beyond = (
            "more than the welds' own scatter would give"
            if moved.exceeds_welding
            else "no more than the welds' own scatter would give"
        )
        lines.append(f"{words}: {beyond} ({_told(moved.by_welding or 0.0, unit)}).")
    return lines


def class_within_lines(within: WithinWelds | None, unit: LengthUnit) -> list[str]:
    """The same for everybody together, then who strays where."""
    if within is None:
        return []
    count = within.strayed_mm.shape[1]
    lines = within_lines(within, unit)
    evenly = []
    for person in sorted({row.person for row in within.rows}):
        worst = worst_place(within.of(person))
        if worst is None:
            evenly.append(person)
        else:
            lines.append(f"{person}: {_worst_words(worst, count, within, unit)}")
    if evenly and len(lines) > 1:
        lines.append(f"No place stands out: {', '.join(evenly)}.")
    return lines


def _worst_words(worst: WorstPlace, count: int, within: WithinWelds, unit: LengthUnit) -> str:
    place = place_words(worst.place, count, around=within.around)
    how = "wider" if worst.wider_mm > 0.0 else "narrower"
    # Where the mean there explains half of it or more, the bead is another width, not unsteady.
    shifted = abs(worst.wider_mm) > worst.there_mm / np.sqrt(2.0)
    kind = (
        f"it is {_told(abs(worst.wider_mm), unit)} {how} there than elsewhere"
        if shifted
        else "it is unsteady there"
    )
    chance = (
        "which chance may have made" if worst.by_chance else "more often than chance would make it"
    )
    return (
        f"{place}: {_told(worst.there_mm, unit)} from each weld's own mean, "
        f"{_told(worst.elsewhere_mm, unit)} elsewhere; {kind}. "
        f"It is the worst place in {worst.worst_in} of {worst.welds} welds, {chance}."
    )


def _even_words(within: WithinWelds, way: str, unit: LengthUnit) -> str:
    known = within.strayed_mm[np.isfinite(within.strayed_mm)]
    overall = _told(float(np.sqrt(np.mean(known**2))), unit)
    welds = f"{len(within.rows)} welds" if len(within.rows) > 1 else "one weld"
    return (
        f"{way} no place stands out in {welds} beyond the doubt of the widths: they stray "
        f"{overall} from each weld's own mean."
    )


def _told(value_mm: float, unit: LengthUnit) -> str:
    return value_words(value_mm, None, Unit.MM.value, unit)
