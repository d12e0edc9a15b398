"""The typeface of the printed targets: DejaVu Sans, which comes with matplotlib."""

from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final

import matplotlib as mpl
from PIL import ImageFont

MM_PER_POINT: Final = 25.4 / 72.0
_METRICS_SIZE: Final = 1000


class Face(StrEnum):
    """Faces in use; the values are their file names."""

    PLAIN = "DejaVuSans"
    BOLD = "DejaVuSans-Bold"

    @property
    def file(self) -> Path:
        """Font file."""
        return Path(mpl.get_data_path()) / "fonts" / "ttf" / f"{self.value}.ttf"


@cache
def _metrics(face: Face) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(face.file), _METRICS_SIZE)


def text_width_mm(text: str, *, size_pt: float, face: Face = Face.PLAIN) -> float:
    """Width of a line of text, in mm."""
    return float(_metrics(face).getlength(text)) / _METRICS_SIZE * size_pt * MM_PER_POINT


def wrapped(text: str, *, width_mm: float, size_pt: float, face: Face = Face.PLAIN) -> list[str]:
    """Lines of text no wider than asked, broken between words."""
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, size_pt=size_pt, face=face) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
