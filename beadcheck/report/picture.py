"""The annotated picture: one photo with everything that was measured on it."""

from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.report.close_up import close_up
from beadcheck.report.drawing import MUTED, Drawing, blank, shortened, text_width_px
from beadcheck.report.legend import legend
from beadcheck.report.panel import refusal_panel, result_panel
from beadcheck.report.weld_lines import WeldLines, weld_lines
from beadcheck.report.weld_marks import draw_scale_bar, draw_station_numbers, draw_toes
from beadcheck.report.wording import LengthUnit, coupon_words
from beadcheck.result import Result

LONGEST_PX: Final = 2400
"""Of the photo's sides as drawn: sharp on an A4 print (more than 250 dots per inch)."""
SHORTEST_PX: Final = 1200
"""Smaller photos are enlarged, so that lines and text have room."""
NARROWEST_PX: Final = 900
"""A photo that is drawn narrower gets white paper beside it."""
JPEG_QUALITY: Final = 90


def annotated_picture(
    photo: Photo, result: Result, *, unit: LengthUnit, photo_index: int = 0
) -> NDArray[np.uint8]:
    """Photo with toes, ripples, stations and scale, and the findings in words under it.

    Every mark differs from the others by its shape or line style, not by its colour alone.

    Parameters
    ----------
    photo
        The pixels that the result was measured in.
    photo_index
        Which photo of the result it is.

    Returns
    -------
    NDArray
        (H, W, 3) uint8, sRGB-coded, blue green red.
    """
    scale = _drawn_scale(photo)
    width_px = max(NARROWEST_PX, round(photo.width_px * scale))
    weld = weld_lines(result, photo_index)
    parts = [
        _header(result, photo_index, width_px=width_px, unit=unit),
        _overview(photo, result, photo_index, weld=weld, scale=scale, width_px=width_px),
    ]
    if weld is not None:
        parts.append(close_up(photo, weld, width_px=width_px, unit=unit))
        parts.append(legend(weld, width_px=width_px))
    if result.photos[photo_index].usable:
        parts.append(result_panel(result, photo_index, width_px=width_px, unit=unit))
    else:
        parts.append(refusal_panel(result, photo_index, width_px=width_px))
    rgb = np.concatenate([part.finished_rgb() for part in parts])
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), dtype=np.uint8)


def write_picture(path: Path, bgr: NDArray[np.uint8]) -> None:
    """Write a JPEG without any metadata.

    Raises
    ------
    OSError
        The file cannot be written.
    """
    done, coded = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    if not done:
        msg = f"a picture of shape {bgr.shape} cannot be coded as JPEG"
        raise ValueError(msg)
    path.write_bytes(coded.tobytes())


def _drawn_scale(photo: Photo) -> float:
    """Pixels drawn per pixel of the photo."""
    longest = max(photo.width_px, photo.height_px)
    if longest > LONGEST_PX:
        return LONGEST_PX / longest
    return max(1.0, SHORTEST_PX / longest)


def _header(result: Result, photo_index: int, *, width_px: int, unit: LengthUnit) -> Drawing:
    """File, coupon and program in one band."""
    big, small = round(width_px / 44), round(width_px / 60)
    margin = round(0.02 * width_px)
    drawing = blank(width_px, round(3.4 * small + 1.5 * big - 1.2 * small))
    name = "beadcheck"
    name_width = text_width_px(name, big, bold=True)
    room = width_px - 2 * margin - name_width - big
    file = shortened(result.photos[photo_index].file, big, room, bold=True)
    drawing.text((margin, 0.35 * big), file, big, bold=True)
    drawing.text((width_px - margin, 0.35 * big), name, big, bold=True, colour=MUTED, anchor="ra")
    words = shortened(coupon_words(result.coupon, unit), small, width_px - 2.0 * margin)
    drawing.text((margin, 0.35 * big + 1.35 * big), words, small, colour=MUTED)
    return drawing


def _overview(
    photo: Photo,
    result: Result,
    photo_index: int,
    *,
    weld: WeldLines | None,
    scale: float,
    width_px: int,
) -> Drawing:
    """Whole photo with the toes and the stations; the fine marks are the close-up's."""
    pixels = photo.pixels_bgr
    if scale != 1.0:
        how = cv2.INTER_AREA if scale < 1.0 else cv2.INTER_CUBIC
        size_px = (
            max(1, round(photo.width_px * scale)),
            max(1, round(photo.height_px * scale)),
        )
        pixels = np.asarray(cv2.resize(pixels, size_px, interpolation=how), dtype=np.uint8)
    drawing = blank(width_px, pixels.shape[0])
    drawing.pixels_rgb[:, : pixels.shape[1]] = cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB)
    text = round(width_px / 62)
    if weld is not None:
        # A pixel's centre, not its corner, has whole coordinates.
        shift = 0.5 * scale - 0.5
        drawn = weld.moved(np.array([[scale, 0.0, shift], [0.0, scale, shift]]))
        line = max(2.0, width_px / 700)
        draw_toes(drawing, drawn, line)
        draw_station_numbers(drawing, drawn, width_px=line, size_px=text)
    px_per_mm = result.photos[photo_index].px_per_mm
    if px_per_mm is not None:
        edge = 0.02 * width_px
        corner = (edge, drawing.height_px - edge)
        draw_scale_bar(drawing, corner, px_per_mm * scale, size_px=text, room_px=0.25 * width_px)
    return drawing
