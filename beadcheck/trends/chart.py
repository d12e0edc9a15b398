"""The chart of a trend: welds in their order, with their U, centre line and limits."""

import io
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from beadcheck.report.drawing import BLUE, INK, MUTED, ORANGE, VERMILION
from beadcheck.report.profile_axes import hexed
from beadcheck.report.wording import LengthUnit
from beadcheck.trends.trend import Trend
from beadcheck.trends.wording import day_words, subject_words
from beadcheck.units import MM_PER_INCH, Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_IN: Final = 7.2
HEIGHT_IN: Final = 4.2
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
    """Draw the welds with their U, the centre line, the control limits and the limit.

    What a run rule picks out gets a square round its point, besides its colour. A chart for a small
    screen is drawn narrower: its words keep their size.
    """
    from matplotlib.figure import Figure  # noqa: PLC0415  # half a second, only once drawn

    inches = unit is LengthUnit.INCH and trend.wanted.unit is Unit.MM
    factor = 1.0 / MM_PER_INCH if inches else 1.0
    figure = Figure(figsize=(width_in, HEIGHT_IN), layout="constrained")
    axes = figure.add_subplot()
    _draw_lines(axes, trend, factor)
    _draw_welds(axes, trend, factor)
    _label(axes, trend, "in" if inches else trend.wanted.unit.value, round(width_in / DATE_IN))
    columns = round(width_in / LEGEND_IN)
    figure.legend(fontsize="small", frameon=False, loc="outside lower center", ncols=columns)
    return _coded(figure, form)


def _draw_welds(axes: "Axes", trend: Trend, factor: float) -> None:
    at = np.arange(1, len(trend.rows) + 1)
    values = factor * np.array([row.value for row in trend.rows])
    expanded = factor * np.array([row.expanded_uncertainty for row in trend.rows])
    axes.errorbar(
        at,
        values,
        yerr=expanded,
        color=hexed(BLUE),
        ecolor=hexed(MUTED),
        marker="o",
        markersize=5,
        linewidth=1.2,
        elinewidth=0.8,
        capsize=2.5,
        label="weld, with its U",
    )
    picked = sorted({k for signal in trend.signals for k in range(signal.first, signal.last + 1)})
    if picked:
        axes.plot(
            at[picked],
            values[picked],
            "s",
            markersize=11,
            markerfacecolor="none",
            markeredgecolor=hexed(VERMILION),
            label="not by chance alone",
        )
    if trend.settings is not None:
        axes.axvline(
            trend.settings.first_after + 0.5,
            color=hexed(ORANGE),
            linewidth=1.4,
            dashes=(1.0, 1.5),
            label="settings changed",
        )


def _draw_lines(axes: "Axes", trend: Trend, factor: float) -> None:
    if trend.charts is not None:
        level = trend.charts.level
        axes.axhline(factor * level.centre, color=hexed(INK), linewidth=1.0, label="mean")
        bound_words = "chance alone (3 sigma)"
        for bound in (level.lower, level.upper):
            axes.axhline(
                factor * bound,
                color=hexed(INK),
                linewidth=0.9,
                dashes=(5.0, 3.0),
                label=bound_words,
            )
            bound_words = "_"
    for limit in (trend.bounds.lowest, trend.bounds.highest):
        if limit is not None:
            axes.axhline(
                factor * limit,
                color=hexed(VERMILION),
                linewidth=1.4,
                dashes=(6.0, 2.0, 1.0, 2.0),
                label="limit",
            )


def _label(axes: "Axes", trend: Trend, unit_sign: str, most_dates: int) -> None:
    count = len(trend.rows)
    step = max(1, -(-count // most_dates))
    ticks = np.arange(0, count, step)
    axes.set_xticks(ticks + 1, [day_words(trend.rows[k].measured_at) for k in ticks])
    axes.set_xlim(0.4, count + 0.6)
    name = subject_words(trend)
    axes.set_ylabel(name if unit_sign in ("ratio", "1") else f"{name}, {unit_sign}")
    axes.grid(axis="y", linewidth=0.4, color="#d8d8da")
    axes.spines[["top", "right"]].set_visible(False)


def _coded(figure: "Figure", form: str) -> bytes:
    from matplotlib import rc_context  # noqa: PLC0415  # as the figure itself

    buffer = io.BytesIO()
    metadata = {"Date": None} if form == "svg" else None
    with rc_context({"svg.hashsalt": "beadcheck"}):  # the same welds always give the same file
        figure.savefig(buffer, format=form, dpi=150, metadata=metadata)
    return buffer.getvalue()
