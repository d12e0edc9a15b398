"""What a sheet shows of a weld from several photos: laid flat, and each quantity by place."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Spacer

from beadcheck.report.picture import coded_jpeg
from beadcheck.report.whole.drawn import drawn_unrolled
from beadcheck.report.whole.plot import PNG_PX_PER_IN, along_plot, round_plot
from beadcheck.report.whole.words import whole_lines, whole_title
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.sheet.blocks import words
from beadcheck.sheet.facts import SheetPhoto
from beadcheck.sheet.pictures import fitted, width_px
from beadcheck.sheet.type import HEADING, SMALL
from beadcheck.units import MM_PER_INCH

TALLEST_FLAT_MM: Final = 105.0
TALLEST_PLOT_MM: Final = 160.0
PLOTS_IN_A_ROW: Final = 3
ROUND_IN: Final = 2.4
"""Three side by side are as wide as the paper, with words at their own size."""
ALONG_IN: Final = 7.2


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeFigures:
    """Coded pictures and sentences; empty where the photos were not joined.

    Attributes
    ----------
    shown
        Photos whose weld the flat picture shows.
    plot_png, small_plot_png
        Every quantity, and the first few that fit one row.
    """

    shown: frozenset[int] = frozenset()
    flat_jpeg: bytes | None = None
    title: str = ""
    lines: tuple[str, ...] = ()
    plot_png: bytes | None = None
    small_plot_png: bytes | None = None

    def flat(self, inner_mm: float) -> list[Flowable]:
        """Lay out the flat picture."""
        if self.flat_jpeg is None:
            return []
        return [Spacer(0, 2 * mm), fitted(self.flat_jpeg, inner_mm, TALLEST_FLAT_MM)]

    def plotted(self, inner_mm: float, *, small: bool) -> list[Flowable]:
        """Lay out what is said of the whole, and the plots."""
        if not self.title:
            return []
        told = [words(self.title, HEADING), *(words(line, SMALL) for line in self.lines)]
        plot = self.small_plot_png if small else self.plot_png
        if plot is None:
            return told
        # Never larger than drawn, so that words keep their size.
        drawn_mm = width_px(plot) / PNG_PX_PER_IN * MM_PER_INCH
        placed = fitted(plot, min(inner_mm, drawn_mm), TALLEST_PLOT_MM)
        return [*told, KeepTogether([Spacer(0, 2 * mm), placed])]


def whole_weld_figures(
    result: Result, photos: Sequence[SheetPhoto], *, unit: LengthUnit
) -> WholeFigures:
    """Draw the whole weld of a result for its sheet."""
    whole = result.whole_weld
    if whole is None:
        return WholeFigures()
    # A take counts its own photos; the sheet's index is that in the joined result.
    cuts = [replace(each.cut, photo=each.index) for each in photos if each.cut is not None]
    flat_bgr = drawn_unrolled(result, cuts, unit=unit, on_paper=True)
    plots = [_plot(result, unit=unit, most=most) for most in (None, PLOTS_IN_A_ROW)]
    there = {cut.photo for cut in cuts}
    return WholeFigures(
        shown=frozenset(whole.photos) & there if flat_bgr is not None else frozenset(),
        flat_jpeg=None if flat_bgr is None else coded_jpeg(flat_bgr),
        title=whole_title(whole),
        lines=whole_lines(whole, unit),
        plot_png=plots[0],
        small_plot_png=plots[1],
    )


def _plot(result: Result, *, unit: LengthUnit, most: int | None) -> bytes | None:
    """Round the clock on pipe, along the weld on plate."""
    on_clock = round_plot(
        result, unit=unit, form="png", columns=PLOTS_IN_A_ROW, each_in=ROUND_IN, most=most
    )
    if on_clock is not None:
        return on_clock
    return along_plot(result, unit=unit, form="png", width_in=ALONG_IN, most=most)
