"""Heights of a pair as a shaded relief, with a scale of colours in words and numbers."""

import math
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.pair import HeightMap
from beadcheck.report.column import SMALL, Column
from beadcheck.report.drawing import INK, MUTED, PAPER, Drawing, blank
from beadcheck.report.profile_sheet import stacked_rgb
from beadcheck.report.weld_marks import HALO
from beadcheck.result import CAUTION
from beadcheck.units import MM_PER_INCH

WIDTH_PX: Final = 1600
MARGIN_PX: Final = 88
"""Room for the numbers of the ruler across, and as much on the other side."""
LEAST_RANGE_MM: Final = 0.6
"""Heights that the colours span at least, so that a flat plate looks flat."""
OUTLIERS_PERCENT: Final = 0.5
"""Share of heights at either end that the colours do not stretch for."""
SHADED_MM: Final = 0.25
"""Smoothing before shading: noise finer than the evidence would look like texture."""
LIGHT: Final = np.array([-0.5, -0.5, 0.7071])
"""Where the light comes from: the upper left, 45 degrees high, as on maps."""
DARKEST: Final = 0.35
HATCH_MM: Final = 1.2
Floats = NDArray[np.float64]


def relief_picture(height_map: HeightMap) -> NDArray[np.uint8]:
    """Height map seen from above, the weld running from left to right.

    Holes are hatched, for nothing is known there; both rough toe lines are dashed.

    Returns
    -------
    NDArray
        (H, W, 3) uint8, blue green red.
    """
    scale = _px_per_mm(height_map)
    range_mm = _range_mm(height_map.height_mm)
    parts = [
        _title(WIDTH_PX),
        _field(height_map, scale=scale, margin=MARGIN_PX, range_mm=range_mm),
        _colour_scale(range_mm, MARGIN_PX),
        _words(height_map),
    ]
    return np.asarray(cv2.cvtColor(stacked_rgb(parts), cv2.COLOR_RGB2BGR), dtype=np.uint8)


def relief_box_px(height_map: HeightMap) -> tuple[int, int, int, int]:
    """Where the map itself lies in `relief_picture`: left, top, right and bottom, in pixels.

    Its first and last `s_mm` are the left and the right edge.
    """
    top = _title(WIDTH_PX).height_px
    across_mm = float(height_map.across_mm[-1] - height_map.across_mm[0])
    tall = max(1, round(_px_per_mm(height_map) * across_mm))
    return MARGIN_PX, top, WIDTH_PX - MARGIN_PX, top + tall


def _px_per_mm(height_map: HeightMap) -> float:
    length_mm = float(height_map.s_mm[-1] - height_map.s_mm[0])
    return (WIDTH_PX - 2 * MARGIN_PX) / max(length_mm, 1e-6)


def _range_mm(height_mm: Floats) -> tuple[float, float]:
    """Heights that the colours span."""
    seen = height_mm[np.isfinite(height_mm)]
    low, high = np.percentile(seen, [OUTLIERS_PERCENT, 100.0 - OUTLIERS_PERCENT])
    low, high = min(float(low), 0.0), max(float(high), 0.0)
    lacking = max(0.0, LEAST_RANGE_MM - (high - low))
    return low - 0.5 * lacking, high + 0.5 * lacking


def _title(width_px: int) -> Drawing:
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    column.gap(0.01 * width_px)
    column.paragraph("Heights over the base metal", round(width_px / 38), bold=True)
    note = (
        "Seen from above, lit from the upper left; the weld runs from left to right. "
        "Hatched: nothing is known there. Dashed: toes as the first photo shows them, roughly."
    )
    column.paragraph(note, round(width_px / SMALL), colour=MUTED)
    column.gap(0.008 * width_px)
    return column.drawn()


def _field(
    height_map: HeightMap, *, scale: float, margin: int, range_mm: tuple[float, float]
) -> Drawing:
    """Draw the relief between two rulers, in mm and equal scale both ways."""
    step_mm = float(height_map.s_mm[1] - height_map.s_mm[0])
    row_mm = float(height_map.across_mm[1] - height_map.across_mm[0])
    size = round(WIDTH_PX / SMALL)
    width = WIDTH_PX - 2 * margin
    height = max(1, round(scale * (height_map.across_mm[-1] - height_map.across_mm[0])))
    shaded = _shaded_rgb(height_map.height_mm, step_mm, row_mm, range_mm, (width, height))
    drawing = blank(WIDTH_PX, height + round(2.2 * size))
    drawing.pixels_rgb[:height, margin : margin + width] = shaded
    first_s, first_across = float(height_map.s_mm[0]), float(height_map.across_mm[0])

    def px(s_mm: Floats, across_mm: Floats) -> Floats:
        return np.column_stack(
            [margin + scale * (s_mm - first_s), scale * (across_mm - first_across)]
        )

    for column in (1, 2):
        toe = px(height_map.toes_mm[:, 0], height_map.toes_mm[:, column])
        inside = (toe[:, 0] >= margin) & (toe[:, 0] <= margin + width)
        drawing.dashes(toe[inside], PAPER, 3.0, dash_px=18.0, gap_px=14.0, halo=HALO)
    _draw_rulers(drawing, height_map, scale=scale, margin=margin, height_px=height)
    return drawing


def _shaded_rgb(
    height_mm: Floats,
    step_mm: float,
    row_mm: float,
    range_mm: tuple[float, float],
    size_px: tuple[int, int],
) -> NDArray[np.uint8]:
    """(H, W, 3) colours by height, darkened by slope, holes hatched."""
    seen = np.isfinite(height_mm)
    filled = _bridged(height_mm, seen, SHADED_MM / step_mm, SHADED_MM / row_mm)
    heights = np.where(seen, height_mm, filled).astype(np.float32)
    low, high = range_mm
    level = np.clip(255.0 * (heights - low) / (high - low), 0.0, 255.0).astype(np.uint8)
    coloured = cv2.cvtColor(cv2.applyColorMap(level, cv2.COLORMAP_CIVIDIS), cv2.COLOR_BGR2RGB)
    rise_y, rise_x = np.gradient(filled, row_mm, step_mm)
    normal = np.stack([-rise_x, -rise_y, np.ones_like(rise_x)], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    light = np.clip((normal @ LIGHT) / LIGHT[2], DARKEST, 1.45)
    lit = np.clip(coloured * light[..., None], 0.0, 255.0).astype(np.uint8)
    enlarged = cv2.resize(lit, size_px, interpolation=cv2.INTER_LINEAR)
    holes = cv2.resize((~seen).astype(np.uint8), size_px, interpolation=cv2.INTER_NEAREST) > 0
    width, height = size_px
    diagonal = np.add.outer(np.arange(height), np.arange(width))
    period = max(6, round(HATCH_MM * width / (height_mm.shape[1] * step_mm)))
    hatch = np.where((diagonal % period < period // 4)[..., None], 120, 226).astype(np.uint8)
    return np.asarray(np.where(holes[..., None], hatch, enlarged), dtype=np.uint8)


def _bridged(height_mm: Floats, seen: NDArray[np.bool_], x: float, y: float) -> Floats:
    """(R, C) smoothed heights that go on through holes: a mean weighted by what is seen."""
    weight = seen.astype(np.float64)
    value = np.where(seen, height_mm, 0.0)
    total = np.zeros_like(value)
    share = np.zeros_like(value)
    # Wider and wider windows, each counting only where narrower ones saw nothing.
    for widen in (1.0, 4.0, 16.0, 64.0):
        near = cv2.GaussianBlur(weight, (0, 0), x * widen, sigmaY=y * widen)
        sums = cv2.GaussianBlur(value, (0, 0), x * widen, sigmaY=y * widen)
        new = (share < 0.05) & (near > 0.05)
        total = np.where(new, sums / np.maximum(near, 1e-9), total)
        share = np.where(new, near, share)
    return total


def _draw_rulers(
    drawing: Drawing, height_map: HeightMap, *, scale: float, margin: int, height_px: int
) -> None:
    size = round(WIDTH_PX / SMALL)
    first, last = float(height_map.s_mm[0]), float(height_map.s_mm[-1])
    for at in 10.0 * np.arange(np.ceil(first / 10.0), np.floor(last / 10.0) + 1.0) + 0.0:
        x = margin + scale * (at - first)
        drawing.line(np.array([[x, height_px], [x, height_px + 0.4 * size]]), INK, 2.0)
        drawing.text((x, height_px + 0.6 * size), f"{at:.0f}", size, anchor="ma")
    drawing.text((WIDTH_PX - 0.2 * margin, height_px + 0.6 * size), "mm", size, anchor="ra")
    top, bottom = float(height_map.across_mm[0]), float(height_map.across_mm[-1])
    for at in 5.0 * np.arange(np.ceil(top / 5.0), np.floor(bottom / 5.0) + 1.0) + 0.0:
        y = scale * (at - top)
        drawing.line(np.array([[margin - 0.4 * size, y], [margin, y]]), INK, 2.0)
        if 0.6 * size < y < height_px - 0.6 * size:
            drawing.text((margin - 0.6 * size, y), f"{at:.0f}", size, anchor="rm")


def _colour_scale(range_mm: tuple[float, float], margin: int) -> Drawing:
    """Draw colours from low to high, millimetres over them and inches under them."""
    size = round(WIDTH_PX / SMALL)
    bar = round(1.1 * size)
    drawing = blank(WIDTH_PX, round(5.4 * size))
    low, high = range_mm
    left, width = 4 * margin, WIDTH_PX - 8 * margin
    top = round(1.9 * size)
    shades = np.linspace(0, 255, width).astype(np.uint8)[None, :]
    colours = cv2.cvtColor(cv2.applyColorMap(shades, cv2.COLORMAP_CIVIDIS), cv2.COLOR_BGR2RGB)
    drawing.pixels_rgb[top : top + bar, left : left + width] = colours
    for unit, per_mm, decimals, down in (("mm", 1.0, 1, -1.0), ("in", MM_PER_INCH, 3, 1.0)):
        first, last = low / per_mm, high / per_mm
        step = _round_step(last - first)
        edge = top + bar if down > 0.0 else top
        for count in range(math.ceil(first / step), math.floor(last / step) + 1):
            x = left + width * (count * step - first) / (last - first)
            drawing.line(np.array([[x, edge], [x, edge + 0.35 * size * down]]), INK, 2.0)
            at = (x, edge + 0.45 * size * down)
            drawing.text(
                at, f"{count * step:.{decimals}f}", size, anchor="ma" if down > 0.0 else "mb"
            )
        end = (left + width + 0.8 * margin, edge + 0.45 * size * down)
        drawing.text(end, unit, size, anchor="la" if down > 0.0 else "lb")
    middle = top + 0.5 * bar
    drawing.text((left - 0.3 * margin, middle), "low", size, bold=True, anchor="rm")
    drawing.text((left + width + 0.3 * margin, middle), "high", size, bold=True, anchor="lm")
    return drawing


def _round_step(span: float) -> float:
    """Step of about a fifth of a span: 1, 2 or 5 times a power of ten."""
    decade = 10.0 ** np.floor(np.log10(span / 5.0))
    return float(decade * next(each for each in (1, 2, 5, 10) if each * decade >= span / 5.0))


def _words(height_map: HeightMap) -> Drawing:
    column = Column(width_px=WIDTH_PX, margin_px=round(0.02 * WIDTH_PX))
    small = round(WIDTH_PX / SMALL)
    seen = float(np.isfinite(height_map.height_mm).mean())
    words = (
        f"Photos {height_map.convergence_deg:.0f}° apart; heights at {100.0 * seen:.0f} % of the "
        f"field. The base metal lies within {height_map.base_residual_mm:.2f} mm (1 sd) of level."
    )
    column.paragraph(words, small, colour=MUTED)
    column.gap(0.4 * small)
    column.paragraph(CAUTION, small, bold=True)
    column.gap(0.6 * small)
    return column.drawn()
