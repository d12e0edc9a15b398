"""The plot of photo against gauge: the difference at each place over what both read there."""

from typing import TYPE_CHECKING, Final, Literal

from beadcheck.gauge_study import Agreement, GaugedPlaces
from beadcheck.report.drawing import BLUE, INK, VERMILION
from beadcheck.report.profile_axes import hexed
from beadcheck.trends.drawn import coded

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HEIGHT_IN_WIDTHS: Final = 0.78


def agreement_chart(
    places: GaugedPlaces,
    agreement: Agreement,
    *,
    subject: str,
    unit: str,
    width_in: float,
    form: Literal["svg", "png"] = "svg",
) -> bytes:
    """Draw each place's difference, the mean difference with its interval, and both limits."""
    from matplotlib.figure import Figure  # noqa: PLC0415  # half a second, only once drawn

    figure = Figure(figsize=(width_in, HEIGHT_IN_WIDTHS * width_in), layout="constrained")
    axes: Axes = figure.subplots()
    mean, reach = agreement.mean_difference, agreement.u_mean_difference
    axes.axhspan(mean - reach, mean + reach, color=hexed(BLUE), alpha=0.18, linewidth=0.0)
    axes.axhline(mean, color=hexed(BLUE), linewidth=1.4, label="mean difference, 95 % interval")
    for limit, label in ((agreement.lower, "limits of agreement"), (agreement.upper, None)):
        axes.axhline(limit, color=hexed(VERMILION), linewidth=1.2, linestyle="--", label=label)
    axes.axhline(0.0, color=hexed(INK), linewidth=0.8)
    axes.plot(
        0.5 * (places.photo + places.gauge),
        places.photo - places.gauge,
        linestyle="none",
        marker="o",
        markersize=5.5,
        color=hexed(INK),
    )
    axes.set_xlabel(f"{subject}: mean of photo and gauge, {unit}")
    axes.set_ylabel(f"photo less gauge, {unit}")
    axes.margins(x=0.08, y=0.12)
    axes.spines[["top", "right"]].set_visible(False)
    figure.legend(loc="outside upper left", fontsize="small", frameon=False, ncols=2)
    return coded(figure, form)
