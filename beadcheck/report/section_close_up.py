"""A section turned level and enlarged, as the photo shows it, and what its marks mean."""

from typing import Final

import cv2
import numpy as np

from beadcheck.photo import Photo
from beadcheck.report.drawing import Drawing, blank, text_width_px
from beadcheck.report.section_marks import SectionMark, draw_section, draw_toe_words

TALLEST: Final = 0.5
"""Greatest height of the close-up, as a part of its width."""
SHORTEST: Final = 0.22
MARGIN: Final = 0.05
"""Free room round the section, as a part of its length."""


def section_close_up(photo: Photo, mark: SectionMark, *, width_px: int) -> Drawing | None:
    """Photo about one section, its base metal level from left to right; None without one."""
    near = mark.line_px[mark.near]
    near = near[np.isfinite(near).all(axis=1)]
    if len(near) < 2 or not np.isfinite(mark.base_px).all():
        return None
    along = mark.base_px[1] - mark.base_px[0]
    length = float(np.hypot(*along))
    along = along / max(length, 1e-9)
    rise = mark.crown_px - mark.base_px.mean(axis=0)
    # The metal lies below and the air above, as a person would hold the picture.
    if np.isfinite(rise).all() and along[0] * rise[1] - along[1] * rise[0] > 0.0:
        along = -along
    rotation = np.array([[along[0], along[1]], [-along[1], along[0]]])
    turned = np.concatenate([near, mark.base_px]) @ rotation.T
    low, high = turned.min(axis=0), turned.max(axis=0)
    extent = high - low + 2.0 * MARGIN * length
    extent[1] = max(extent[1] + 0.1 * length, SHORTEST * extent[0])
    scale = min(width_px / extent[0], TALLEST * width_px / extent[1])
    height_px = round(scale * extent[1])
    shift = np.array([width_px, height_px]) / 2.0 - scale * (low + high) / 2.0
    matrix = np.column_stack([scale * rotation, shift])
    pixels = cv2.warpAffine(
        photo.pixels_bgr,
        matrix,
        (width_px, height_px),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(225, 225, 225),
    )
    drawing = Drawing(np.ascontiguousarray(cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB)))
    line = max(2.0, width_px / 500)
    moved, size_px = mark.moved(matrix), round(width_px / 44)
    draw_section(drawing, moved, width_px=line, size_px=size_px)
    draw_toe_words(drawing, moved, size_px=round(width_px / 56))
    return drawing


def section_legend(kind: str, *, width_px: int) -> Drawing:
    """Name the marks, in words that hold without colours."""
    what = "outline" if kind == "side-on" else "line of light or shadow"
    size = round(width_px / 56)
    words = (
        f"solid: {what} as measured",
        "dashed: base metal",
        "triangle: toe",
        "ring: undercut",
        "dot: highest or lowest point",
    )
    rows, x, row = [], 0.02 * width_px, 0
    for each in words:
        width = text_width_px(each, size)
        if x + width > 0.98 * width_px:
            x, row = 0.02 * width_px, row + 1
        rows.append((x, row, each))
        x += width + 1.6 * size
    drawing = blank(width_px, round((1.7 * (row + 1) + 0.4) * size))
    for left, at_row, each in rows:
        drawing.text((left, (1.0 + 1.7 * at_row) * size), each, size, anchor="lm")
    return drawing
