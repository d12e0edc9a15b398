"""What is drawn into a plot of the whole weld, round the clock and along it alike."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import BLUE, INK, MUTED, ORANGE, SKY, VERMILION
from beadcheck.report.profile_axes import hexed
from beadcheck.report.whole.marks import PHOTOGRAPH_HERE, STEP_MM, start_words
from beadcheck.report.whole.series import Half, Series
from beadcheck.result import WholeWeldRecord

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
Place = Callable[[Floats], Floats]
"""From mm along the weld to what the axis counts in."""

MARKERS: Final = {Half.FIRST: "o", Half.SECOND: "s", Half.BOTH: "D", Half.NONE: "o"}
DASHES: Final[dict[Half, tuple[float, ...]]] = {Half.SECOND: (4.0, 1.2)}
HATCH: Final = "////"


def draw_series(axes: "Axes", series: Series, whole: WholeWeldRecord, place: Place) -> None:
    """Draw line and band, sectors, limits, gaps, what lies beyond, starts and stops."""
    _draw_gaps(axes, series, whole, place)
    _draw_limits(axes, series, whole, place)
    _draw_line(axes, series, whole, place)
    for half in Half:
        points = [point for point in series.points if point.half is half]
        if points:
            axes.errorbar(
                place(np.mod([point.arc_mm for point in points], whole.length_mm)),
                [point.value for point in points],
                yerr=[point.expanded for point in points],
                linestyle="none",
                marker=MARKERS[half],
                markersize=5.5,
                markerfacecolor="w",
                markeredgecolor=hexed(INK),
                ecolor=hexed(MUTED),
                elinewidth=0.9,
                capsize=2.0,
                clip_on=False,
                label=f"{half.value}, with its U",
                zorder=3,
            )
    _draw_beyond(axes, series, place)
    _draw_starts(axes, series, whole, place)


def _draw_line(axes: "Axes", series: Series, whole: WholeWeldRecord, place: Place) -> None:
    """Draw single readings with their band, broken where nothing was seen, by halves."""
    if not series.arc_mm.size:
        return
    halved = bool(whole.halves)
    second = series.arc_mm > 0.5 * whole.length_mm
    if whole.clock_sense < 0:
        second = ~second
    breaks = np.diff(series.arc_mm) > STEP_MM
    if halved:
        breaks |= second[1:] != second[:-1]
    band = "every mm, with its U"
    for run in np.split(np.arange(series.arc_mm.size), np.flatnonzero(breaks) + 1):
        at, values, expanded = place(series.arc_mm[run]), series.values[run], series.expanded[run]
        axes.fill_between(
            at, values - expanded, values + expanded, color=hexed(SKY), alpha=0.45, linewidth=0.0
        )
        half = Half.SECOND if halved and second[run[0]] else Half.FIRST
        (line,) = axes.plot(at, values, color=hexed(BLUE), linewidth=1.4, label=band)
        if half in DASHES:
            line.set_dashes(DASHES[half])
        band = "_"


def _draw_limits(axes: "Axes", series: Series, whole: WholeWeldRecord, place: Place) -> None:
    everywhere = place(np.linspace(0.0, whole.length_mm, 181))
    for limit in (series.lowest, series.highest):
        if limit is not None:
            axes.plot(
                everywhere,
                np.full(everywhere.size, limit),
                color=hexed(VERMILION),
                linewidth=1.4,
                dashes=(6.0, 2.0, 1.0, 2.0),
                label="limit",
            )


def _draw_gaps(axes: "Axes", series: Series, whole: WholeWeldRecord, place: Place) -> None:
    low, high = series.extent
    for gap in whole.gaps:
        # A gap through 12 o'clock has a piece at either end.
        for ends in (
            (gap.from_arc_mm, min(gap.to_arc_mm, whole.length_mm)),
            (0.0, gap.to_arc_mm - whole.length_mm),
        ):
            if ends[1] > ends[0]:
                axes.fill_between(
                    place(np.linspace(*ends, 31)),
                    low,
                    high,
                    facecolor="#efefef",
                    edgecolor=hexed(MUTED),
                    linewidth=0.0,
                    hatch=HATCH,
                    label=f"not seen well: {PHOTOGRAPH_HERE}",
                )


def _draw_beyond(axes: "Axes", series: Series, place: Place) -> None:
    """Put a square round the worst place of each stretch, with by how much it lies beyond."""
    for each in series.beyond:
        at = float(place(np.array([each.worst_arc_mm]))[0])
        value = series.factor * each.worst_value
        axes.plot(
            [at],
            [value],
            "s",
            markersize=11,
            markerfacecolor="none",
            markeredgecolor=hexed(VERMILION),
            label="beyond the limit, by how much",
            clip_on=False,
            zorder=4,
        )
        doubt = "" if each.sure else "?"
        axes.annotate(
            f"{series.factor * each.beyond:.2g}{doubt}",
            (at, value),
            xytext=(0.0, 9.0),
            textcoords="offset points",
            ha="center",
            fontsize="small",
            fontweight="bold",
        )


def _draw_starts(axes: "Axes", series: Series, whole: WholeWeldRecord, place: Place) -> None:
    low, _ = series.extent
    for number, each in enumerate(whole.start_stops):
        at = float(place(np.array([each.arc_mm]))[0])
        axes.plot(
            [at],
            [low],
            "^",
            markersize=8,
            markerfacecolor=hexed(ORANGE),
            markeredgecolor=hexed(INK),
            label="looks like a start, stop or tie-in",
            clip_on=False,
            zorder=5,
        )
        axes.annotate(
            start_words(each),
            (at, low),
            # Neighbours at two heights, so that their words do not run into each other.
            xytext=(0.0, 6.0 + 9.0 * (number % 2)),
            textcoords="offset points",
            ha="center",
            fontsize="small",
            bbox={"facecolor": "w", "edgecolor": "none", "alpha": 0.75, "pad": 0.6},
            zorder=5,
        )
