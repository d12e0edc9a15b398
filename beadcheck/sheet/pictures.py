"""Pictures as the sheet places them."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image as Pillow
from reportlab.lib.units import mm
from reportlab.platypus import Image


def fitted(coded: bytes, width_mm: float, height_mm: float) -> Image:
    """Picture as large as fits a rectangle."""
    with Pillow.open(io.BytesIO(coded)) as picture:
        shape = picture.size
    scale = min(width_mm / shape[0], height_mm / shape[1])
    return Image(io.BytesIO(coded), scale * shape[0] * mm, scale * shape[1] * mm)


def png(rgb: NDArray[np.uint8]) -> bytes:
    """Bytes of a PNG."""
    buffer = io.BytesIO()
    Pillow.fromarray(rgb).save(buffer, format="PNG")
    return buffer.getvalue()


def width_px(coded: bytes) -> int:
    """Width of a coded picture."""
    with Pillow.open(io.BytesIO(coded)) as picture:
        return picture.width
