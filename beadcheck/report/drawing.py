"""Lines, signs and text on an array of pixels."""

from dataclasses import dataclass, field
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Colour = tuple[int, int, int]
"""Red, green, blue."""
Points = NDArray[np.float64]
"""(N, 2) x and y in pixels of the drawing."""

INK: Final[Colour] = (28, 28, 30)
MUTED: Final[Colour] = (92, 92, 98)
RULE: Final[Colour] = (205, 205, 208)
PAPER: Final[Colour] = (255, 255, 255)
BLUE: Final[Colour] = (0, 114, 178)
SKY: Final[Colour] = (86, 180, 233)
ORANGE: Final[Colour] = (230, 159, 0)
YELLOW: Final[Colour] = (240, 228, 66)
VERMILION: Final[Colour] = (213, 94, 0)
"""Blue, sky blue, orange, yellow and vermilion are told apart by nearly every colour-blind person
(Okabe and Ito, Color Universal Design, 2008)."""

_SUBPIXEL_BITS: Final = 4


@cache
def font(size_px: int, *, bold: bool = False) -> ImageFont.FreeTypeFont:
    """DejaVu Sans, as matplotlib ships it; nothing of matplotlib is loaded for that."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        msg = "matplotlib, whose fonts the pictures use, is not installed"
        raise ModuleNotFoundError(msg)
    folder = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
    return ImageFont.truetype(
        folder / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"), size_px
    )


def text_width_px(text: str, size_px: int, *, bold: bool = False) -> float:
    """Width of one line of text."""
    return font(size_px, bold=bold).getlength(text)


def wrapped(
    text: str, size_px: int, width_px: float, *, bold: bool = False, taken_px: float = 0.0
) -> list[str]:
    """Lines of text that fit the width, the first after `taken_px`; too long a word is broken.

    Lines break at plain spaces only, not at no-break spaces.
    """
    lines = [""]
    for word in text.split(" "):
        room = width_px - (taken_px if len(lines) == 1 else 0.0)
        longer = f"{lines[-1]} {word}".strip(" ")
        if text_width_px(longer, size_px, bold=bold) <= room:
            lines[-1] = longer
            continue
        if lines[-1] or taken_px > 0.0:
            lines.append("")
        for letter in word:
            if lines[-1] and text_width_px(lines[-1] + letter, size_px, bold=bold) > width_px:
                lines.append("")
            lines[-1] += letter
    return lines


def shortened(text: str, size_px: int, width_px: float, *, bold: bool = False) -> str:
    """One line that fits the width, its middle replaced by an ellipsis where it is too long."""
    if text_width_px(text, size_px, bold=bold) <= width_px:
        return text
    for kept in range(len(text) - 1, 1, -1):
        short = f"{text[: (kept + 1) // 2]}…{text[len(text) - kept // 2 :]}"
        if text_width_px(short, size_px, bold=bold) <= width_px:
            return short
    return "…"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Text:
    at: tuple[float, float]
    text: str
    size_px: int
    bold: bool
    colour: Colour
    halo: Colour | None
    anchor: str


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Pixels (H, W, 3), uint8, red green blue, that are drawn on; text comes last, on top."""

    pixels_rgb: NDArray[np.uint8]
    _texts: list[_Text] = field(default_factory=list)

    @property
    def width_px(self) -> int:
        """Width in pixels."""
        return int(self.pixels_rgb.shape[1])

    @property
    def height_px(self) -> int:
        """Height in pixels."""
        return int(self.pixels_rgb.shape[0])

    def line(
        self, points: Points, colour: Colour, width_px: float, *, halo: Colour | None = None
    ) -> None:
        """Draw a smooth line through (N, 2) points, on a wider one in the colour of `halo`."""
        if len(points) < 2:
            return
        if halo is not None:
            self._stroke(points, halo, width_px * 2.0 + 1.0)
        self._stroke(points, colour, width_px)

    def dashes(
        self,
        points: Points,
        colour: Colour,
        width_px: float,
        *,
        dash_px: float,
        gap_px: float,
        halo: Colour | None = None,
    ) -> None:
        """Draw a dashed line through (N, 2) points."""
        for dash in _dash_points(points, dash_px, gap_px):
            self.line(dash, colour, width_px, halo=halo)

    def polygon(self, points: Points, colour: Colour) -> None:
        """Fill a polygon."""
        cv2.fillPoly(
            self.pixels_rgb, [_fixed_point(points)], colour, cv2.LINE_AA, shift=_SUBPIXEL_BITS
        )

    def disc(self, centre: tuple[float, float], radius_px: float, colour: Colour) -> None:
        """Fill a disc."""
        x, y, radius = (round(each * 2**_SUBPIXEL_BITS) for each in (*centre, radius_px))
        cv2.circle(
            self.pixels_rgb, (x, y), radius, colour, cv2.FILLED, cv2.LINE_AA, shift=_SUBPIXEL_BITS
        )

    def box(
        self, corner: tuple[float, float], size_px: tuple[float, float], colour: Colour
    ) -> None:
        """Fill an upright rectangle, given its top left corner."""
        x, y = (max(0, round(each)) for each in corner)
        right, bottom = round(corner[0] + size_px[0]), round(corner[1] + size_px[1])
        self.pixels_rgb[y : max(y, bottom), x : max(x, right)] = colour

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size_px: int,
        *,
        bold: bool = False,
        colour: Colour = INK,
        halo: Colour | None = None,
        anchor: str = "la",
    ) -> None:
        """Put one line of text; the anchor is Pillow's (``la``: left, top of the line)."""
        self._texts.append(
            _Text(
                at=at,
                text=text,
                size_px=size_px,
                bold=bold,
                colour=colour,
                halo=halo,
                anchor=anchor,
            )
        )

    def finished_rgb(self) -> NDArray[np.uint8]:
        """Everything drawn, text included."""
        image = Image.fromarray(self.pixels_rgb)
        pen = ImageDraw.Draw(image)
        for each in self._texts:
            pen.text(
                each.at,
                each.text,
                fill=each.colour,
                font=font(each.size_px, bold=each.bold),
                anchor=each.anchor,
                stroke_width=0 if each.halo is None else max(2, each.size_px // 8),
                stroke_fill=each.halo,
            )
        return np.asarray(image, dtype=np.uint8)

    def _stroke(self, points: Points, colour: Colour, width_px: float) -> None:
        cv2.polylines(
            self.pixels_rgb,
            [_fixed_point(points)],
            isClosed=False,
            color=colour,
            thickness=max(1, round(width_px)),
            lineType=cv2.LINE_AA,
            shift=_SUBPIXEL_BITS,
        )


def blank(width_px: int, height_px: int) -> Drawing:
    """White paper."""
    return Drawing(np.full((height_px, width_px, 3), 255, dtype=np.uint8))


def _fixed_point(points: Points) -> NDArray[np.int32]:
    return np.round(points * 2.0**_SUBPIXEL_BITS).astype(np.int32)


def _dash_points(points: Points, dash_px: float, gap_px: float) -> list[Points]:
    """Points of each dash of a line through (N, 2) points."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    dashes = []
    for start in np.arange(0.0, along[-1], dash_px + gap_px):
        end = min(start + dash_px, along[-1])
        inside = along[(along > start) & (along < end)]
        at = np.concatenate([[start], inside, [end]])
        dashes.append(np.stack([np.interp(at, along, points[:, i]) for i in (0, 1)], axis=1))
    return dashes
