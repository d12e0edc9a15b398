"""The charts of a trend: the level of the welds in their order, and below it their scatter."""

from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from beadcheck.report.drawing import BLUE, INK, MUTED, ORANGE, SKY, VERMILION
from beadcheck.report.profile_axes import hexed
from beadcheck.report.wording import LengthUnit
from beadcheck.trends.drawn import coded
from beadcheck.trends.trend import Trend
from beadcheck.trends.wording import chance_words, day_words, subject_words
from beadcheck.units import MM_PER_INCH, Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from beadcheck.consistency import ControlChart, Signal

WIDTH_IN: Final = 7.2
LEVEL_IN: Final = 4.2
SCATTER_IN: Final = 1.6
DATE_IN: Final = 1.2
"""Room that a date takes along the axis."""
LEGEND_IN: Final = 2.4
"""Room that a line of the legend takes."""


def trend_chart(
    trend: Trend,
    *,
    unit: LengthUnit,
    form: Literal["svg", "png"] = "svg",
    width_in: float = WIDTH_IN,
) -> bytes:
    """Draw the welds with centre line, control limits and the limit; below, ranges with theirs.

    What a run rule picks out gets a square round its point, besides its colour. A chart for a small
    screen is drawn narrower: its words keep their size.
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  # half a second, only once drawn

    inches = unit is LengthUnit.INCH and trend.wanted.unit is Unit.MM
    factor = 1.0 / MM_PER_INCH if inches else 1.0
    heights_in = (LEVEL_IN,) if trend.charts is None else (LEVEL_IN, SCATTER_IN)
    figure = Figure(figsize=(width_in, sum(heights_in)), layout="constrained")
    level, *below = figure.subplots(
        len(heights_in), 1, sharex=True, squeeze=False, height_ratios=heights_in
    )[:, 0]
    _draw_limits(level, trend, factor)
    _draw_welds(level, trend, factor)
    for axes in below:
        _draw_scatter(axes, trend, factor)
    _label(level, trend, "in" if inches else trend.wanted.unit.value, round(width_in / DATE_IN))
    columns = round(width_in / LEGEND_IN)
    handles, words = level.get_legend_handles_labels()
    figure.legend(
        handles, words, fontsize="small", frameon=False, loc="outside lower center", ncols=columns
    )
    return coded(figure, form)


def _draw_welds(axes: "Axes", trend: Trend, factor: float) -> None:
    at = np.arange(1, len(trend.points.each) + 1)
    means = factor * np.array([np.mean(point.readings) for point in trend.points.each])
    if trend.points.grouped:
        for place, point in zip(at, trend.points.each, strict=True):
            axes.plot(
                np.full(len(point.readings), place),
                factor * np.array(point.readings),
                linestyle="none",
                marker="_",
                markersize=9,
                color=hexed(MUTED),
                label="one reading" if place == 1 else "_",
            )
    else:
        expanded = factor * np.array([row.expanded_uncertainty for row in trend.rows])
        axes.errorbar(
            at,
            means,
            yerr=expanded,
            linestyle="none",
            ecolor=hexed(MUTED),
            elinewidth=0.8,
            capsize=2.5,
        )
    words = "mean of the readings" if trend.points.grouped else "weld, with its U"
    axes.plot(at, means, color=hexed(BLUE), marker="o", markersize=5, linewidth=1.2, label=words)
    _mark(axes, at, means, trend.signals, "not by chance alone")
    if trend.settings is not None:
        changed = trend.settings.first_after
        # A line between the last point before and the first one after.
        before = sum(max(point.welds) < changed for point in trend.points.each)
        axes.axvline(
            before + 0.5,
            color=hexed(ORANGE),
            linewidth=1.4,
            dashes=(1.0, 1.5),
            label="settings changed",
        )


def _draw_scatter(axes: "Axes", trend: Trend, factor: float) -> None:
    if trend.charts is None:
        return
    scatter = trend.charts.scatter
    # A moving range belongs to the later of its two welds.
    at = np.arange(1, scatter.values.size + 1) + (0 if trend.points.grouped else 1)
    ranges = factor * scatter.values
    axes.plot(at, ranges, color=hexed(SKY), marker="D", markersize=4, linewidth=1.2)
    _draw_control(axes, scatter, factor, "_")
    _mark(axes, at, ranges, trend.uneven, "_")
    # Room for the square round a point.
    axes.set_ylim(0.0, 1.15 * max(float(ranges.max()), factor * scatter.upper) or 1.0)
    axes.set_ylabel("range" if trend.points.grouped else "moving range")
    _plain(axes)


def _mark(
    axes: "Axes", at: np.ndarray, values: np.ndarray, picked: "tuple[Signal, ...]", words: str
) -> None:
    """Put a square round what the rules pick out."""
    which = sorted({k for signal in picked for k in range(signal.first, signal.last + 1)})
    if which:
        axes.plot(
            at[which],
            values[which],
            "s",
            markersize=11,
            markerfacecolor="none",
            markeredgecolor=hexed(VERMILION),
            label=words,
        )


def _draw_limits(axes: "Axes", trend: Trend, factor: float) -> None:
    if trend.charts is not None:
        _draw_control(axes, trend.charts.level, factor, f"{chance_words(trend)} alone (3 sigma)")
    for limit in (trend.bounds.lowest, trend.bounds.highest):
        if limit is not None:
            axes.axhline(
                factor * limit,
                color=hexed(VERMILION),
                linewidth=1.4,
                dashes=(6.0, 2.0, 1.0, 2.0),
                label="limit",
            )


def _draw_control(axes: "Axes", chart: "ControlChart", factor: float, words: str) -> None:
    axes.axhline(
        factor * chart.centre,
        color=hexed(INK),
        linewidth=1.0,
        label="_" if words == "_" else "mean",
    )
    for bound in (chart.lower, chart.upper):
        axes.axhline(
            factor * bound, color=hexed(INK), linewidth=0.9, dashes=(5.0, 3.0), label=words
        )
        words = "_"


def _label(axes: "Axes", trend: Trend, unit_sign: str, most_dates: int) -> None:
    points = trend.points.each
    ticks = np.arange(0, len(points), max(1, -(-len(points) // most_dates)))
    axes.set_xticks(ticks + 1, [day_words(points[k].measured_at) for k in ticks])
    axes.set_xlim(0.4, len(points) + 0.6)
    name = subject_words(trend)
    axes.set_ylabel(name if unit_sign in ("ratio", "1") else f"{name}, {unit_sign}")
    _plain(axes)


def _plain(axes: "Axes") -> None:
    axes.grid(axis="y", linewidth=0.4, color="#d8d8da")
    axes.spines[["top", "right"]].set_visible(False)
