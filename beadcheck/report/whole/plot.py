"""Plots of the whole weld: quantities along it, and round the clock, against their limits."""

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import INK, RULE
from beadcheck.report.profile_axes import hexed
from beadcheck.report.whole.plot_marks import draw_series
from beadcheck.report.whole.series import Series, series_of
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result, WholeWeldRecord
from beadcheck.units import MM_PER_INCH

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]
Form = Literal["svg", "png"]

PNG_PX_PER_IN: Final = 150
WIDTH_IN: Final = 4.1
"""At this width, words are ten pixels on a phone 390 px wide."""
TITLE_IN: Final = 0.2
ALONG_IN: Final = 1.9
LEGEND_IN: Final = 1.4
LEGEND_COLUMN_IN: Final = 2.4
"""Room that the legend takes in one column, and the width of a column."""
HOLLOW: Final = 0.9
"""Radius of the hole in the middle of a round plot, in heights of its ring."""


def round_plot(
    result: Result,
    *,
    unit: LengthUnit,
    form: Form = "svg",
    columns: int = 1,
    each_in: float = WIDTH_IN,
    most: int | None = None,
) -> bytes | None:
    """Draw quantities round the clock, 12 o'clock on top; None for what is not round a pipe.

    A line and its band stand for single readings, a sign for each sector; the two halves differ by
    sign and line. Limits, gaps and what looks like a start or a stop are drawn in.

    Parameters
    ----------
    columns, each_in
        Plots side by side at most, and the width of each in inches; words keep their size.
    most
        How many quantities are drawn; None draws all.
    """
    whole, series = result.whole_weld, series_of(result, unit=unit)[:most]
    if whole is None or whole.shape != "pipe" or not series:
        return None

    def place(arc_mm: Floats) -> Floats:
        return whole.clock_sense * 2.0 * np.pi * arc_mm / whole.length_mm

    columns = min(columns, len(series))
    rows = -(-len(series) // columns)
    wide = max(1, int(columns * each_in // LEGEND_COLUMN_IN))
    figure = _figure(columns * each_in, rows * (each_in + TITLE_IN) + LEGEND_IN / wide)
    grid = figure.subplots(rows, columns, squeeze=False, subplot_kw={"projection": "polar"})
    for axes, each in zip(grid.ravel(), series, strict=False):
        _set_round(axes, each, whole)
        draw_series(axes, each, whole, place)
    for spare in grid.ravel()[len(series) :]:
        spare.set_visible(False)
    return _finished(figure, list(grid.ravel()[: len(series)]), form, wide)


def along_plot(
    result: Result,
    *,
    unit: LengthUnit,
    form: Form = "svg",
    width_in: float = WIDTH_IN,
    most: int | None = None,
) -> bytes | None:
    """Draw every quantity along the weld, one under the other; None where nothing was joined."""
    whole, series = result.whole_weld, series_of(result, unit=unit)[:most]
    if whole is None or not series:
        return None
    wide = max(1, int(width_in // LEGEND_COLUMN_IN))
    figure = _figure(width_in, len(series) * ALONG_IN + LEGEND_IN / wide)
    inches = whole.shape != "pipe" and unit is LengthUnit.INCH
    shown = 1.0 / MM_PER_INCH if inches else 1.0
    grid = figure.subplots(len(series), 1, sharex=True, squeeze=False)[:, 0]
    for axes, each in zip(grid, series, strict=True):
        draw_series(axes, each, whole, lambda arc_mm: arc_mm * shown)
        axes.set_ylim(*each.extent)
        axes.set_xlim(0.0, whole.length_mm * shown)
        axes.set_title(each.title, fontsize="medium", loc="left")
        axes.grid(axis="y", linewidth=0.4, color=hexed(RULE))
        for sector in whole.sectors:
            axes.axvline(sector.to_arc_mm * shown, color=hexed(RULE), linewidth=0.6, zorder=0)
        axes.spines[["top", "right"]].set_visible(False)
    _set_along(grid[-1], whole, "in" if inches else "mm")
    return _finished(figure, list(grid), form, wide)


def _figure(width_in: float, height_in: float) -> "Figure":
    # Loaded here, so that a command that draws nothing need not wait for it.
    from matplotlib.figure import Figure  # noqa: PLC0415

    return Figure(figsize=(width_in, height_in), layout="constrained", facecolor="w")


def _set_round(axes: "Axes", series: Series, whole: WholeWeldRecord) -> None:
    from matplotlib.ticker import MaxNLocator  # noqa: PLC0415  # as the figure

    low, high = series.extent
    axes.set_theta_zero_location("N")  # type: ignore[attr-defined]  # polar axes are not typed
    axes.set_theta_direction(-1)  # type: ignore[attr-defined]
    axes.set_ylim(low, high)
    axes.set_rorigin(low - HOLLOW * (high - low))  # type: ignore[attr-defined]
    axes.set_rlabel_position(15.0)  # type: ignore[attr-defined]
    hours = np.arange(12)
    axes.set_xticks(hours * np.pi / 6.0, [f"{hour or 12}" for hour in hours], fontweight="bold")
    axes.tick_params(axis="y", labelsize="x-small", colors=hexed(INK))
    axes.set_yticks([each for each in MaxNLocator(3).tick_values(low, high) if low < each < high])
    axes.grid(axis="y", linewidth=0.5, color=hexed(RULE))
    axes.grid(axis="x", visible=False)
    edges = {sector.from_arc_mm for sector in whole.sectors}
    for edge_mm in edges:
        theta = whole.clock_sense * 2.0 * np.pi * edge_mm / whole.length_mm
        axes.plot([theta, theta], [low, high], color=hexed(RULE), linewidth=0.6)
    axes.set_title(series.title, fontsize="medium", fontweight="bold", pad=16.0)


def _set_along(axes: "Axes", whole: WholeWeldRecord, sign: str) -> None:
    if whole.shape != "pipe":
        axes.set_xlabel(f"along the weld, {sign}")
        return
    hours = np.arange(13)
    words = [f"{whole.clock_sense * hour % 12 or 12:.0f}" for hour in hours]
    axes.set_xticks(hours * whole.length_mm / 12.0, words)
    axes.set_xlabel("o'clock")


def _finished(figure: "Figure", grid: Sequence["Axes"], form: Form, columns: int) -> bytes:
    """Put one legend under all plots, and return the file; the same figure gives the same one."""
    from matplotlib import rc_context  # noqa: PLC0415  # as the figure

    named = {
        words: handle
        for axes in grid
        for handle, words in zip(*axes.get_legend_handles_labels(), strict=True)
    }
    figure.legend(
        list(named.values()),
        list(named),
        fontsize="small",
        frameon=False,
        loc="outside lower center",
        ncols=columns,
    )
    buffer = io.BytesIO()
    metadata = {"Date": None} if form == "svg" else None
    with rc_context({"svg.hashsalt": "beadcheck"}):
        # Tight, because the layout leaves round plots' titles too little room.
        figure.savefig(
            buffer,
            format=form,
            dpi=PNG_PX_PER_IN,
            metadata=metadata,
            bbox_inches="tight",
            pad_inches=0.06,
        )
    return buffer.getvalue()
