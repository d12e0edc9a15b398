"""What is printed on beadcheck's own targets beside the markers: rules, words, clock, cut lines."""

import io
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image as Pillow

from beadcheck.target.draw import png_bytes
from beadcheck.target.ink import Cells, Page, Paper
from beadcheck.target.pages import pages
from beadcheck.target.read import read_target

DPI = 600


def print_art(file: Path, shape: tuple[int, int]) -> NDArray[np.uint8] | None:
    """Darkness of the print in the target's frame, of a shape; None for others' targets."""
    design = read_target(file)
    try:
        printed = pages(design, Paper.A4)
    except ValueError:
        return None
    scale = shape[1] / design.width_mm
    art = np.zeros(shape, dtype=np.uint8)
    marks = [
        (number, cells)
        for number, page in enumerate(printed)
        for cells in page.ink
        if isinstance(cells, Cells)
    ]
    corners = np.array([marker.corners_mm[0] for marker in design.markers])
    places = np.array(
        [[min(b.x_mm for b in c.boxes), min(b.y_mm for b in c.boxes)] for _, c in marks]
    )
    cuts = [0.0, *design.joints_mm, design.width_mm]
    drawings = [_darkness(page) for page in printed]
    for left, right in pairwise(cuts):
        inside = np.flatnonzero((corners[:, 0] >= left) & (corners[:, 0] < right))
        if len(inside) == 0:
            continue
        offset = places[inside[0]] - corners[inside[0]]
        part = _part(drawings[marks[inside[0]][0]], offset, scale, shape)
        a, b = round(left * scale), round(right * scale)
        art[:, a:b] = part[:, a:b]
    return art


def _darkness(page: Page) -> NDArray[np.uint8]:
    with Pillow.open(io.BytesIO(png_bytes(page, dpi=DPI))) as picture:
        return 255 - np.asarray(picture.convert("L"))


def _part(
    drawing: NDArray[np.uint8], offset_mm: NDArray[np.float64], scale: float, shape: tuple[int, int]
) -> NDArray[np.uint8]:
    page_scale = DPI / 25.4
    gain = page_scale / scale
    # Pixel centres lie half a pixel inside, in both pictures.
    shift = offset_mm * page_scale + 0.5 * gain - 0.5
    place = np.array([[gain, 0.0, shift[0]], [0.0, gain, shift[1]]])
    return cv2.warpAffine(
        drawing, place, (shape[1], shape[0]), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    )
