"""The annotated picture: one photo with everything that was measured on it."""

from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo, PhotoKind
from beadcheck.report.close_up import close_up
from beadcheck.report.drawing import MUTED, Drawing, blank, shortened, text_width_px
from beadcheck.report.entered import WITHOUT_TARGET, coupon_words
from beadcheck.report.legend import legend
from beadcheck.report.look_here_marks import LookHereMark, draw_look_here, look_here_marks
from beadcheck.report.panel import caution_panel, refusal_panel, result_panel
from beadcheck.report.profile_sheet import profile_parts
from beadcheck.report.section_close_up import section_close_up, section_legend
from beadcheck.report.section_marks import SectionMark, draw_section, section_marks
from beadcheck.report.weld_lines import WeldLines, weld_lines
from beadcheck.report.weld_marks import (
    draw_scale_bar,
    draw_station_numbers,
    draw_toes,
    draw_valleys,
)
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result

LONGEST_PX: Final = 2400
"""Of the photo's sides as drawn: sharp on an A4 print (more than 250 dots per inch)."""
AREA_SCALE: Final = 0.5
"""Below this each drawn pixel averages those that it covers; above, neighbours tell as much, in a
tenth of the time."""
SHORTEST_PX: Final = 1200
"""Smaller photos are enlarged, so that lines and text have room."""
NARROWEST_PX: Final = 900
"""A photo that is drawn narrower gets white paper beside it."""
SECTION_KINDS: Final = (PhotoKind.SIDE_ON, PhotoKind.LIGHT_LINE)
"""Photos that show sections across the weld, and no run of it."""
JPEG_QUALITY: Final = 90


def annotated_picture(
    photo: Photo, result: Result, *, unit: LengthUnit, photo_index: int = 0
) -> NDArray[np.uint8]:
    """Photo with toes, ripples, stations and scale, sections, and the findings in words under it.

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
    parts = _marked(photo, result, photo_index, unit=unit)
    width_px = parts[0].width_px
    parts += profile_parts(result, photo_index, unit=unit, width_px=width_px)
    if result.photos[photo_index].usable:
        parts.append(result_panel(result, photo_index, width_px=width_px, unit=unit))
    else:
        parts.append(refusal_panel(result, photo_index, width_px=width_px))
    return _joined(parts)


def marked_picture(
    photo: Photo, result: Result, *, unit: LengthUnit, photo_index: int = 0
) -> NDArray[np.uint8]:
    """Same as `annotated_picture`, but of its words only the caution.

    For a face that says the rest beside it: without it the marks are larger on a small screen.
    """
    parts = _marked(photo, result, photo_index, unit=unit)
    return _joined([*parts, caution_panel(result, width_px=parts[0].width_px)])


def overview_picture(
    photo: Photo, result: Result, *, unit: LengthUnit, photo_index: int = 0
) -> NDArray[np.uint8]:
    """Return the whole photo with its marks and the scale bar, without any words beside it."""
    kind = result.photos[photo_index].kind
    scale = _drawn_scale(photo)
    overview = _overview(
        photo,
        result,
        photo_index,
        weld=None if kind in SECTION_KINDS else weld_lines(result, photo_index),
        sections=section_marks(result, photo_index, unit),
        marks=look_here_marks(result, photo_index),
        scale=scale,
        width_px=round(photo.width_px * scale),
    )
    return _joined([overview])


def _joined(parts: list[Drawing]) -> NDArray[np.uint8]:
    rgb = np.concatenate([part.finished_rgb() for part in parts])
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), dtype=np.uint8)


def _marked(photo: Photo, result: Result, photo_index: int, *, unit: LengthUnit) -> list[Drawing]:
    """Header, overview and, where there is a weld, its close-up and the legend."""
    scale = _drawn_scale(photo)
    width_px = max(NARROWEST_PX, round(photo.width_px * scale))
    kind = result.photos[photo_index].kind
    sections = section_marks(result, photo_index, unit)
    weld = None if kind in SECTION_KINDS else weld_lines(result, photo_index)
    marks = look_here_marks(result, photo_index)
    parts = [
        _header(result, photo_index, width_px=width_px, unit=unit),
        _overview(
            photo,
            result,
            photo_index,
            weld=weld,
            sections=sections,
            marks=marks,
            scale=scale,
            width_px=width_px,
        ),
    ]
    close_ups = [section_close_up(photo, each, width_px=width_px) for each in sections]
    parts += [each for each in close_ups if each is not None]
    if sections:
        parts.append(section_legend(kind, width_px=width_px))
    if weld is not None:
        parts.append(close_up(photo, weld, marks, width_px=width_px, unit=unit))
        parts.append(legend(weld, width_px=width_px, look_here=bool(marks)))
    return parts


def write_picture(path: Path, bgr: NDArray[np.uint8]) -> None:
    """Write a JPEG without any metadata.

    Raises
    ------
    OSError
        The file cannot be written.
    """
    path.write_bytes(coded_jpeg(bgr))


def coded_jpeg(bgr: NDArray[np.uint8]) -> bytes:
    """Return the bytes of a JPEG without any metadata."""
    done, coded = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    if not done:
        msg = f"a picture of shape {bgr.shape} cannot be coded as JPEG"
        raise ValueError(msg)
    return coded.tobytes()


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
    bare = result.photos[photo_index].without_target
    coupon = coupon_words(result.coupon, unit, without_target=bare)
    words = ", ".join(each for each in (coupon, WITHOUT_TARGET if bare else "") if each)
    words = shortened(words, small, width_px - 2.0 * margin)
    drawing.text((margin, 0.35 * big + 1.35 * big), words, small, colour=MUTED)
    return drawing


def _overview(
    photo: Photo,
    result: Result,
    photo_index: int,
    *,
    weld: WeldLines | None,
    sections: tuple[SectionMark, ...],
    marks: tuple[LookHereMark, ...],
    scale: float,
    width_px: int,
) -> Drawing:
    """Whole photo with the toes and the stations; the fine marks are the close-up's."""
    pixels = photo.pixels_bgr
    if scale != 1.0:
        how = cv2.INTER_AREA if scale < AREA_SCALE else cv2.INTER_LINEAR
        how = cv2.INTER_CUBIC if scale > 1.0 else how
        size_px = (
            max(1, round(photo.width_px * scale)),
            max(1, round(photo.height_px * scale)),
        )
        pixels = np.asarray(cv2.resize(pixels, size_px, interpolation=how), dtype=np.uint8)
    drawing = blank(width_px, pixels.shape[0])
    drawing.pixels_rgb[:, : pixels.shape[1]] = cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB)
    text = round(width_px / 62)
    # A pixel's centre, not its corner, has whole coordinates.
    shift = 0.5 * scale - 0.5
    matrix = np.array([[scale, 0.0, shift], [0.0, scale, shift]])
    line = max(2.0, width_px / 700)
    for section in sections:
        draw_section(drawing, section.moved(matrix), width_px=line, size_px=text)
    if weld is not None:
        drawn = weld.moved(matrix)
        draw_toes(drawing, drawn, line)
        draw_valleys(drawing, drawn, 0.75 * line)
        boxes = [mark.moved(matrix) for mark in marks]
        draw_station_numbers(
            drawing,
            drawn,
            width_px=line,
            size_px=text,
            clear_of=[box.corners_px for box in boxes],
        )
        draw_look_here(
            drawing,
            boxes,
            drawn,
            frame=(0.0, float(drawing.height_px)),
            width_px=0.75 * line,
        )
    px_per_mm = result.photos[photo_index].px_per_mm
    if px_per_mm is not None:
        edge = 0.02 * width_px
        corner = (edge, drawing.height_px - edge)
        draw_scale_bar(drawing, corner, px_per_mm * scale, size_px=text, room_px=0.25 * width_px)
    return drawing
