"""From pages to the bytes of a PDF or PNG file, true to scale."""

import io
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from beadcheck.target.fonts import MM_PER_POINT, Face
from beadcheck.target.ink import Anchor, Box, Cells, Ink, Page, Polygon, Words

PNG_DPI: Final = 600
_SUB_PIXEL_BITS: Final = 8
_PIL_ANCHOR: Final = {Anchor.START: "ls", Anchor.MIDDLE: "ms", Anchor.END: "rs"}


def pdf_bytes(pages: tuple[Page, ...]) -> bytes:
    """PDF file of the pages: vector, page boxes exact, fonts embedded, viewers told not to scale.

    The same pages always give the same bytes.
    """
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    register_faces()
    canvas.setTitle(pages[0].title)
    canvas.setCreator("beadcheck")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((_pt(page.width_mm), _pt(page.height_mm)))
        for mark in page.ink:
            _draw(canvas, mark, height_mm=page.height_mm)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def register_faces() -> None:
    """Make the faces known to reportlab, which embeds what is used of them."""
    for face in Face:
        pdfmetrics.registerFont(TTFont(face.value, str(face.file)))


def _pt(length_mm: float) -> float:
    return length_mm / MM_PER_POINT


def _draw(canvas: Canvas, mark: Ink, *, height_mm: float) -> None:
    """Draw one mark; PDF counts y upward from the foot of the page."""
    match mark:
        case Box():
            _draw(canvas, Cells(boxes=(mark,)), height_mm=height_mm)
        case Cells():
            path = canvas.beginPath()
            for box in mark.boxes:
                foot_mm = height_mm - box.y_mm - box.height_mm
                path.rect(_pt(box.x_mm), _pt(foot_mm), _pt(box.width_mm), _pt(box.height_mm))
            canvas.drawPath(path, stroke=0, fill=1)
        case Polygon():
            path = canvas.beginPath()
            for k, (x_mm, y_mm) in enumerate(mark.points_mm):
                (path.lineTo if k else path.moveTo)(_pt(x_mm), _pt(height_mm - y_mm))
            path.close()
            canvas.drawPath(path, stroke=0, fill=1)
        case Words():
            canvas.saveState()
            canvas.setFont(mark.face.value, mark.size_pt)
            canvas.translate(_pt(mark.x_mm), _pt(height_mm - mark.y_mm))
            if mark.upward:
                canvas.rotate(90)
            match mark.anchor:
                case Anchor.START:
                    canvas.drawString(0, 0, mark.text)
                case Anchor.MIDDLE:
                    canvas.drawCentredString(0, 0, mark.text)
                case Anchor.END:
                    canvas.drawRightString(0, 0, mark.text)
            canvas.restoreState()


def png_bytes(page: Page, *, dpi: int = PNG_DPI) -> bytes:
    """PNG file of one page, grey, its resolution written into it."""
    px_per_mm = dpi / 25.4
    shape = (round(page.height_mm * px_per_mm), round(page.width_mm * px_per_mm))
    pixels = np.full(shape, 255, dtype=np.uint8)
    for mark in page.ink:
        match mark:
            case Box():
                _fill_box(pixels, mark, px_per_mm)
            case Cells():
                for box in mark.boxes:
                    _fill_box(pixels, box, px_per_mm)
            case Polygon():
                # OpenCV puts the centre of the first pixel at 0.
                points = np.array(mark.points_mm) * px_per_mm - 0.5
                scaled = np.round(points * 2**_SUB_PIXEL_BITS).astype(np.int32)
                cv2.fillPoly(pixels, [scaled], 0, lineType=cv2.LINE_AA, shift=_SUB_PIXEL_BITS)
            case Words():
                _write_words(pixels, mark, px_per_mm)
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, format="PNG", dpi=(dpi, dpi))
    return buffer.getvalue()


def _fill_box(pixels: NDArray[np.uint8], box: Box, px_per_mm: float) -> None:
    """Darken each pixel by the share of it that the box covers."""
    rows, row_share = _covered(box.y_mm * px_per_mm, box.height_mm * px_per_mm)
    columns, column_share = _covered(box.x_mm * px_per_mm, box.width_mm * px_per_mm)
    darkness = np.round(255.0 * np.outer(row_share, column_share))
    lit = pixels[rows, columns].astype(np.float64) - darkness
    pixels[rows, columns] = np.maximum(lit, 0.0).astype(np.uint8)


def _covered(start_px: float, length_px: float) -> tuple[slice, NDArray[np.float64]]:
    """Pixels that a stretch touches, and the share of each that it covers."""
    first, last = int(np.floor(start_px)), int(np.ceil(start_px + length_px))
    edges = np.clip(np.arange(first, last + 1, dtype=np.float64), start_px, start_px + length_px)
    return slice(first, last), np.diff(edges)


def _write_words(pixels: NDArray[np.uint8], words: Words, px_per_mm: float) -> None:
    """Print a line of words, darkest wins; an upward one is drawn level and turned."""
    font = ImageFont.truetype(str(words.face.file), words.size_pt * MM_PER_POINT * px_per_mm)
    x_px, y_px = words.x_mm * px_per_mm, words.y_mm * px_per_mm
    canvas = np.rot90(pixels, k=-1) if words.upward else pixels
    if words.upward:
        x_px, y_px = pixels.shape[0] - y_px, x_px
    left, top, right, bottom = font.getbbox(words.text, anchor=_PIL_ANCHOR[words.anchor])
    x0, y0 = int(x_px + left) - 2, int(y_px + top) - 2
    width, height = int(right - left) + 5, int(bottom - top) + 5
    strip = Image.new("L", (width, height), 255)
    pen = ImageDraw.Draw(strip)
    pen.text(
        (x_px - x0, y_px - y0), words.text, fill=0, font=font, anchor=_PIL_ANCHOR[words.anchor]
    )
    window = canvas[y0 : y0 + height, x0 : x0 + width]
    np.minimum(window, np.asarray(strip)[: window.shape[0], : window.shape[1]], out=window)
