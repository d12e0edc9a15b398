"""Everything that is drawn of a weld from several photos."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.whole.cut import WeldCut
from beadcheck.report.whole.picture import ROW_PX, row_count, unrolled_picture
from beadcheck.report.whole.plot import along_plot, round_plot
from beadcheck.report.whole.unrolled import unrolled_weld
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeWeldDrawn:
    """Pictures of the whole weld; None for what cannot be drawn of it.

    Attributes
    ----------
    unrolled_bgr
        (H, W, 3) uint8.
    round_svg, along_svg
        Every quantity round the clock, and along the weld.
    """

    unrolled_bgr: NDArray[np.uint8] | None
    round_svg: bytes | None
    along_svg: bytes | None


def drawn_unrolled(
    result: Result, cuts: Sequence[WeldCut], *, unit: LengthUnit, on_paper: bool = False
) -> NDArray[np.uint8] | None:
    """Draw the unrolled weld; None where photos were not joined or none of their pixels is here.

    On paper rows are twice as long as for a phone, and the caution stands elsewhere.
    """
    whole = result.whole_weld
    if whole is None:
        return None
    rows = row_count(whole)
    unrolled = unrolled_weld(result, cuts, longest_px=rows * ROW_PX)
    if unrolled is None:
        return None
    return unrolled_picture(
        result,
        unrolled,
        unit=unit,
        rows=max(1, rows // 2) if on_paper else rows,
        caution=not on_paper,
    )


def drawn_whole_weld(
    result: Result, cuts: Sequence[WeldCut], *, unit: LengthUnit
) -> WholeWeldDrawn | None:
    """Draw everything; None where photos were not joined."""
    if result.whole_weld is None:
        return None
    return WholeWeldDrawn(
        unrolled_bgr=drawn_unrolled(result, cuts, unit=unit),
        round_svg=round_plot(result, unit=unit),
        along_svg=along_plot(result, unit=unit),
    )
