"""The chart of where widths stray: welds, or people, by places; every number stands in it."""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from beadcheck.report.wording import LengthUnit
from beadcheck.trends.drawn import coded
from beadcheck.trends.within import Floats, WithinWelds, strayed_by_person_mm
from beadcheck.trends.within_wording import THIRD_WORDS
from beadcheck.trends.wording import day_words
from beadcheck.units import MM_PER_INCH

WIDTH_IN: Final = 7.2
ROW_IN: Final = 0.24
AROUND_IN: Final = 1.1
"""Room for the words round the cells."""
DARK: Final = 0.6
"""Share of the darkest shade from which numbers are white."""


def within_chart(
    within: WithinWelds,
    *,
    unit: LengthUnit,
    form: Literal["svg", "png"] = "svg",
    width_in: float = WIDTH_IN,
) -> bytes:
    """Draw how far the width strays from each weld's own mean, darker where farther.

    One person's welds each have a row, oldest on top; of several people each has one.
    """
    people = strayed_by_person_mm(within)
    if len(people) > 1:
        names, cells_mm = list(people), np.array(list(people.values()))
    else:
        names = [day_words(row.measured_at) for row in within.rows]
        cells_mm = within.strayed_mm
    return _drawn(names, cells_mm, around=within.around, unit=unit, form=form, width_in=width_in)


def _drawn(
    names: Sequence[str],
    cells_mm: Floats,
    *,
    around: bool,
    unit: LengthUnit,
    form: Literal["svg", "png"],
    width_in: float,
) -> bytes:
    from matplotlib.figure import Figure  # noqa: PLC0415  # half a second, only once drawn

    inches = unit is LengthUnit.INCH
    cells = cells_mm * (1000.0 / MM_PER_INCH if inches else 1.0)
    figure = Figure(figsize=(width_in, AROUND_IN + ROW_IN * len(names)), layout="constrained")
    axes = figure.add_subplot()
    most = float(np.nanmax(cells))
    axes.pcolormesh(
        np.ma.masked_invalid(cells), cmap="Blues", vmin=0.0, vmax=most, edgecolors="w", linewidth=1
    )
    for (row, column), value in np.ndenumerate(cells):
        known = np.isfinite(value)
        axes.text(
            column + 0.5,
            row + 0.5,
            f"{value:.0f}" if known and inches else f"{value:.1f}" if known else "–",
            ha="center",
            va="center",
            fontsize="x-small",
            color="white" if known and value > DARK * most else "black",
        )
    places = cells.shape[1]
    words = [str(hour or 12) for hour in range(places)] if around else list(THIRD_WORDS)
    axes.set_xticks(np.arange(places) + 0.5, words, fontsize="small")
    axes.set_yticks(np.arange(len(names)) + 0.5, names, fontsize="small")
    axes.invert_yaxis()
    axes.tick_params(length=0)
    axes.spines[:].set_visible(False)
    sign = "0.001 in" if inches else "mm"
    place = "o'clock" if around else "of the photo, from its left or top"
    axes.set_xlabel(f"{place}; width off the weld's own mean, rms, {sign}", fontsize="small")
    return coded(figure, form)
