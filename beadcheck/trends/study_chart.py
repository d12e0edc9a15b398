"""The plots of a gauge study: readings by part, and where the spread comes from."""

from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from beadcheck.gauge_study import CrossedReadings, GaugeStudy
from beadcheck.report.drawing import BLUE, INK, ORANGE, SKY, VERMILION
from beadcheck.report.profile_axes import hexed
from beadcheck.trends.drawn import coded

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SIZE_IN: Final = (8.6, 3.9)
MARKERS: Final = ("o", "s", "^", "D", "v", "P", "X", "*")
COLOURS: Final = (BLUE, VERMILION, INK, ORANGE, SKY)
"""Each person has a marker of their own, besides a colour."""


def study_chart(
    readings: CrossedReadings,
    study: GaugeStudy,
    *,
    subject: str,
    form: Literal["svg", "png"] = "svg",
) -> bytes:
    """Draw every reading by part and person, and the shares of the spread beside it."""
    from matplotlib.figure import Figure  # noqa: PLC0415  # half a second, only once drawn

    figure = Figure(figsize=SIZE_IN, layout="constrained")
    by_part, shares = figure.subplots(1, 2, width_ratios=(1.7, 1.0))
    _draw_readings(by_part, readings, subject)
    _draw_shares(shares, study)
    return coded(figure, form)


def _draw_readings(axes: "Axes", readings: CrossedReadings, subject: str) -> None:
    at = np.arange(len(readings.parts), dtype=np.float64)
    people = len(readings.appraisers)
    for index, who in enumerate(readings.appraisers):
        values = readings.values[:, index, :]
        x = at + 0.5 * (index - 0.5 * (people - 1)) / people
        colour = hexed(COLOURS[index % len(COLOURS)])
        axes.plot(
            np.repeat(x, values.shape[1]),
            values.ravel(),
            linestyle="none",
            marker=MARKERS[index % len(MARKERS)],
            markersize=5,
            color=colour,
            label=who,
        )
        axes.plot(x, values.mean(axis=1), linewidth=0.9, color=colour)
    axes.set_xticks(at, readings.parts, rotation=30 if max(map(len, readings.parts)) > 3 else 0)
    axes.set_ylabel(subject)
    axes.grid(axis="y", linewidth=0.4, color="#d8d8da")
    axes.legend(fontsize="small", frameon=False)
    axes.spines[["top", "right"]].set_visible(False)


def _draw_shares(axes: "Axes", study: GaugeStudy) -> None:
    shares = {
        "repeatability": study.equipment_variation,
        "reproducibility": study.reproducibility,
        "both: the gauge": study.gauge,
        "the parts": study.part_variation,
    }
    # Readings that never differ have no spread to share out.
    whole = study.total_variation or 1.0
    percent = [100.0 * each / whole for each in shares.values()]
    places = np.arange(len(shares))[::-1]
    axes.barh(places, percent, color=[hexed(c) for c in (SKY, SKY, ORANGE, BLUE)], edgecolor="k")
    for place, each in zip(places, percent, strict=True):
        axes.text(each + 1.5, place, f"{each:.0f} %", va="center", fontsize="small")
    axes.set_yticks(places, list(shares))
    axes.set_xlim(0.0, 118.0)
    axes.set_xlabel("of the total standard deviation")
    axes.spines[["top", "right"]].set_visible(False)
