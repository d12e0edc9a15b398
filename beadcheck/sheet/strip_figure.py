"""The straightened weld on paper, true to scale, with a bar to lay a rule on."""

import io
from typing import Final

import numpy as np
from PIL import Image
from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from beadcheck.report.wording import LengthUnit
from beadcheck.sheet.type import BOLD, PLAIN, SMALL_PT
from beadcheck.sheet.weld_strip import WeldStrip
from beadcheck.units import MM_PER_INCH

SCALES: Final = (4.0, 3.0, 2.0, 1.5, 1.0, 0.75, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1)
"""Millimetres of paper for a millimetre of weld: round, so that a rule can be laid on it."""
TALLEST_MM: Final = 42.0
RULER_MM: Final = 5.0
BAR_MM: Final = 8.0
"""Room for the ruler over the strip, and for the scale bar under it."""
STEPS_MM: Final = (10.0, 20.0, 50.0, 100.0)
APART_MM: Final = 8.0
"""From one number of the ruler to the next, on paper: three digits are 5 mm wide."""
JPEG_QUALITY: Final = 88


class StripFigure(Flowable):  # type: ignore[misc]  # reportlab is not typed
    """A straightened weld with toes, crests, a ruler, and a scale bar."""

    def __init__(self, strip: WeldStrip, *, unit: LengthUnit) -> None:
        super().__init__()
        self.strip = strip
        self.unit = unit
        self.scale = SCALES[-1]

    def wrap(self, available: float, _height: float) -> tuple[float, float]:
        """Take the largest round scale that fits; sizes are points, as reportlab counts."""
        strip = self.strip
        self.scale = next(
            (
                scale
                for scale in SCALES
                if scale * strip.length_mm * mm <= available
                and scale * strip.height_mm <= TALLEST_MM
            ),
            SCALES[-1],
        )
        height_mm = self.scale * strip.height_mm + RULER_MM + BAR_MM
        return self.scale * strip.length_mm * mm, height_mm * mm

    def draw(self) -> None:
        """Draw from the lower left corner, upwards."""
        canvas, strip = self.canv, self.strip
        width, height = self.scale * strip.length_mm * mm, self.scale * strip.height_mm * mm
        buffer = io.BytesIO()
        Image.fromarray(strip.pixels_rgb).save(buffer, format="JPEG", quality=JPEG_QUALITY)
        buffer.seek(0)
        canvas.drawImage(ImageReader(buffer), 0, BAR_MM * mm, width, height)
        self._draw_toes(canvas)
        self._draw_ruler(canvas, BAR_MM * mm + height)
        self._draw_bar(canvas)

    def _x(self, s_mm: float) -> float:
        return self.scale * (s_mm - self.strip.first_mm) * float(mm)

    def _y(self, across_mm: float) -> float:
        down_mm = across_mm - self.strip.left_edge_mm
        return (BAR_MM + self.scale * (self.strip.height_mm - down_mm)) * float(mm)

    def _draw_toes(self, canvas: Canvas) -> None:
        """Draw toes over a white rim: full where they count, dotted where they do not."""
        strip = self.strip
        for toe_mm in (strip.left_mm, strip.right_mm):
            for grey, width_pt in ((1.0, 2.2), (0.0, 0.9)):
                canvas.setStrokeGray(grey)
                canvas.setLineWidth(width_pt)
                for first, last, sure in _runs(strip.sure):
                    canvas.setDash([] if sure else [0.5, 2.0])
                    path = canvas.beginPath()
                    path.moveTo(self._x(strip.s_mm[first]), self._y(toe_mm[first]))
                    for k in range(first + 1, last + 1):
                        path.lineTo(self._x(strip.s_mm[k]), self._y(toe_mm[k]))
                    canvas.drawPath(path)
        canvas.setDash([])
        reach_mm = 0.12 * float(np.median(strip.right_mm - strip.left_mm))
        for grey, width_pt in ((1.0, 1.8), (0.0, 0.6)):
            canvas.setStrokeGray(grey)
            canvas.setLineWidth(width_pt)
            for s_mm in strip.crests_mm:
                canvas.line(self._x(s_mm), self._y(-reach_mm), self._x(s_mm), self._y(reach_mm))
        canvas.setStrokeGray(0.0)

    def _draw_ruler(self, canvas: Canvas, foot: float) -> None:
        """Number as many of the tens of millimetres over the strip as can be told apart."""
        step_mm = next((each for each in STEPS_MM if self.scale * each >= APART_MM), STEPS_MM[-1])
        canvas.setFont(PLAIN, SMALL_PT)
        canvas.setLineWidth(0.5)
        first_mm, last_mm = float(self.strip.s_mm[0]), float(self.strip.s_mm[-1])
        for s_mm in np.arange(np.ceil(first_mm / 5.0), np.floor(last_mm / 5.0) + 1.0) * 5.0:
            x, tall = self._x(float(s_mm)), s_mm % 10.0 == 0.0
            canvas.line(x, foot, x, foot + (1.6 if tall else 0.9) * mm)
            if s_mm % step_mm == 0.0:
                canvas.drawCentredString(x, foot + 2.0 * mm, f"{s_mm + 0.0:.0f}")

    def _draw_bar(self, canvas: Canvas) -> None:
        """Draw a bar that is as long on paper as it says, and how much it stands for."""
        length_mm = 20.0 if self.scale >= 0.5 else 100.0
        on_paper_mm = self.scale * length_mm
        canvas.rect(0, 3.4 * mm, on_paper_mm * mm, 1.0 * mm, stroke=0, fill=1)
        words = f"{length_mm:g} mm"
        if self.unit is LengthUnit.INCH:
            words += f" ({length_mm / MM_PER_INCH:.2f} in)"
        canvas.setFont(BOLD, SMALL_PT)
        canvas.drawString(on_paper_mm * mm + 2.0 * mm, 3.0 * mm, words)
        canvas.setFont(PLAIN, SMALL_PT)
        canvas.drawString(
            0,
            0.4 * mm,
            f"Laid straight, {_ratio_words(self.scale)}: printed at 100 %, the bar is "
            f"{on_paper_mm:g} mm long. Dotted toes take no part in the statistics.",
        )


def _ratio_words(scale: float) -> str:
    """Scale of a drawing as drawings write it.

    Examples
    --------
    >>> _ratio_words(2.0), _ratio_words(0.5), _ratio_words(1.0)
    ('2 : 1', '1 : 2', '1 : 1')
    """
    return f"{scale:g} : 1" if scale >= 1.0 else f"1 : {1.0 / scale:.3g}"


def _runs(sure: np.ndarray) -> list[tuple[int, int, bool]]:
    """First and last index of each run alike; each reaches to the first of the next."""
    changes = np.flatnonzero(np.diff(sure)) + 1
    starts = [0, *changes.tolist()]
    ends = [*changes.tolist(), sure.size - 1]
    return [(first, last, bool(sure[first])) for first, last in zip(starts, ends, strict=True)]
