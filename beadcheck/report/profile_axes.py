"""The field of a profile plot: scale, axes, text sizes."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadcheck.report.drawing import INK, MUTED, RULE, Colour
from beadcheck.report.wording import LengthUnit
from beadcheck.result import ProfileRecord
from beadcheck.units import MM_PER_INCH

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backends.backend_agg import FigureCanvasAgg

BESIDE_TOES_MM: Final = 5.0
"""Base metal drawn on either side of the weld: what the base line was fitted to."""
TALLEST: Final = 0.5
"""Greatest height of the drawn field, as a part of its width."""
EXAGGERATIONS: Final = (1.0, 2.0, 3.0, 5.0)
"""By how much heights may be drawn larger than distances across."""
STRAY_PERCENT: Final = 0.3
"""Share of heights at either end that the field need not hold."""
LEAST_RANGE_MM: Final = 2.0
"""Heights that a field shows at least, so that a flat plate looks flat."""
PX_PER_INCH: Final = 100
TEXT: Final = 44
"""Size of text, as a part of the width: 9 px on a phone 390 px wide."""
BAND_WORDS: Final = "Blue band: U (k = 2) of each height."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heights:
    """Places, heights and U of one section in mm, NaN in holes, no farther than is drawn."""

    across_mm: NDArray[np.float64]
    height_mm: NDArray[np.float64]
    expanded_mm: NDArray[np.float64]

    @property
    def seen(self) -> NDArray[np.bool_]:
        """(N,) where a height is known."""
        return np.asarray(np.isfinite(self.height_mm), dtype=np.bool_)

    def at(self, across_mm: float) -> float:
        """Height at a place, holes bridged."""
        seen = self.seen
        return float(np.interp(across_mm, self.across_mm[seen], self.height_mm[seen]))


def drawn_heights(profile: ProfileRecord) -> Heights:
    """Heights of a section from a little left of the weld to a little right of it."""
    across = np.array(profile.across_mm)
    height = np.array([np.nan if each is None else each for each in profile.height_mm])
    expanded = np.array([np.nan if each is None else each for each in profile.U_mm])
    low, high = shown_mm(profile, BESIDE_TOES_MM)
    inside = (across >= low) & (across <= high)
    return Heights(across_mm=across[inside], height_mm=height[inside], expanded_mm=expanded[inside])


def shown_mm(profile: ProfileRecord, beside_mm: float) -> tuple[float, float]:
    """Part of a section worth showing: its toes and metal beside them, or both base lines."""
    low, high = profile.across_mm[0], profile.across_mm[-1]
    if profile.left_toe_across_mm is not None:
        low = profile.left_toe_across_mm - beside_mm
    elif profile.left_base is not None:
        low = profile.left_base.across_mm[0]
    if profile.right_toe_across_mm is not None:
        high = profile.right_toe_across_mm + beside_mm
    elif profile.right_base is not None:
        high = profile.right_base.across_mm[1]
    return low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """What a field shows, in mm."""

    left_mm: float
    right_mm: float
    low_mm: float
    high_mm: float

    @property
    def exaggeration(self) -> float:
        """Largest factor that keeps the field low enough, never below 1."""
        flat = (self.high_mm - self.low_mm) / (self.right_mm - self.left_mm)
        return max((each for each in EXAGGERATIONS if each * flat <= TALLEST), default=1.0)

    @property
    def tallness(self) -> float:
        """Drawn height of the field over its drawn width."""
        flat = (self.high_mm - self.low_mm) / (self.right_mm - self.left_mm)
        return self.exaggeration * flat

    @property
    def scale_words(self) -> str:
        """How heights and widths compare, in words."""
        if self.exaggeration == 1.0:
            return "Heights are drawn to the same scale as widths."
        return f"Heights are drawn {self.exaggeration:g} times as large as widths."


def extent_of(sections: Iterable[Heights], others_mm: Iterable[float] = ()) -> Extent:
    """Extent that holds the sections with their bands, the base metal, and other heights."""
    drawn = list(sections)
    tops = np.concatenate([(each.height_mm + each.expanded_mm)[each.seen] for each in drawn])
    bottoms = np.concatenate([(each.height_mm - each.expanded_mm)[each.seen] for each in drawn])
    # A stray piece of one section must not flatten all the others.
    most, least = np.percentile(tops, 100.0 - STRAY_PERCENT), np.percentile(bottoms, STRAY_PERCENT)
    high = float(max([most, *others_mm, 0.0]))
    low = float(min([least, *others_mm, 0.0]))
    room = max(0.18 * (high - low), 0.5 * (LEAST_RANGE_MM - (high - low)) / 1.4, 0.2)
    return Extent(
        left_mm=float(min(each.across_mm[0] for each in drawn)),
        right_mm=float(max(each.across_mm[-1] for each in drawn)),
        low_mm=low - 1.6 * room,
        high_mm=high + 1.2 * room,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Field:
    """Axes to draw on, and the size of text in points."""

    axes: "Axes"
    canvas: "FigureCanvasAgg"
    text: float

    def pixels_rgb(self) -> NDArray[np.uint8]:
        """(H, W, 3) everything drawn."""
        self.canvas.draw()  # type: ignore[no-untyped-call]
        rgba = np.asarray(self.canvas.buffer_rgba())  # type: ignore[no-untyped-call]
        return np.ascontiguousarray(rgba[:, :, :3], dtype=np.uint8)


def new_field(extent: Extent, title: str, note: str, *, unit: LengthUnit, width_px: int) -> Field:
    """Axes in mm (and inches at the right where wanted), under a title and a note."""
    # Loaded here, so that a command that draws nothing need not wait for it.
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: PLC0415
    from matplotlib.figure import Figure  # noqa: PLC0415

    size = width_px / TEXT
    left, right = 4.2 * size, (4.6 if unit is LengthUnit.INCH else 1.0) * size
    top, bottom = 4.0 * size, 3.6 * size
    field_px = (width_px - left - right) * extent.tallness
    height_px = round(field_px + top + bottom)
    inches = (width_px / PX_PER_INCH, height_px / PX_PER_INCH)
    figure = Figure(figsize=inches, dpi=PX_PER_INCH, facecolor="w")
    canvas = FigureCanvasAgg(figure)
    x, y = left / width_px, bottom / height_px
    axes = figure.add_axes((x, y, 1.0 - x - right / width_px, field_px / height_px))
    text = 72.0 * size / PX_PER_INCH
    for words, down, part, weight, colour in (
        (title, 0.4, 1.1, "bold", INK),
        (note, 2.0, 0.8, "normal", MUTED),
    ):
        at = (size / width_px, 1.0 - down * size / height_px)
        figure.text(*at, words, size=part * text, weight=weight, va="top", color=hexed(colour))
    _set_axes(axes, extent, text, unit)
    return Field(axes=axes, canvas=canvas, text=text)


def _set_axes(axes: "Axes", extent: Extent, text: float, unit: LengthUnit) -> None:
    axes.set_xlim(extent.left_mm, extent.right_mm)
    axes.set_ylim(extent.low_mm, extent.high_mm)
    axes.set_xlabel("across the weld, mm", size=0.9 * text)
    axes.set_ylabel("height, mm", size=0.9 * text)
    axes.tick_params(labelsize=0.85 * text, length=0.3 * text, colors=hexed(INK))
    axes.grid(visible=True, color=hexed(RULE), linewidth=0.05 * text)
    axes.set_axisbelow(True)
    for spine in axes.spines.values():
        spine.set_color(hexed(MUTED))
    if unit is LengthUnit.INCH:
        inches = axes.secondary_yaxis("right", functions=(_to_inches, _to_millimetres))
        inches.set_ylabel("height, in", size=0.9 * text)
        inches.tick_params(labelsize=0.85 * text, length=0.3 * text, colors=hexed(INK))


def _to_inches(mm: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(mm, dtype=np.float64) / MM_PER_INCH


def _to_millimetres(inch: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(inch, dtype=np.float64) * MM_PER_INCH


def hexed(colour: Colour) -> str:
    """Colour as matplotlib takes it."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
