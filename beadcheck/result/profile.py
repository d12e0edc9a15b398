"""The record of one section across the weld; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD, PixelPoint


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRecord:
    """One value that a single profile gives."""

    name: str
    """What was read, such as face_reinforcement."""
    side: str | None
    """left or right toe, facing growing s; null where the value has no side."""
    value: float
    """The value, in its unit."""
    unit: str
    """mm, mm2 or deg."""
    expanded_uncertainty: float
    """Expanded uncertainty (k = 2), in the unit of the value."""
    across_mm: float | None = None
    """Where it was read, on the scale of the profile's across_mm; null where it has no place."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class BaseLineRecord:
    """The straight line of the base metal on one side of the weld, over the length it was seen."""

    across_mm: tuple[float, float]
    """Its two ends, on the scale of the profile's across_mm, in mm."""
    height_mm: tuple[float, float]
    """Its heights there, in mm: near 0, but for misaligned parts."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileRecord:
    """Height over the base metal along one line square to the weld.

    Heights are levelled on the parent metal on both sides, and given to 0.0001 mm.
    """

    photo: int | None
    """Index into photos; null for a pair."""
    method: str
    """How it was measured: side-on, light-line or pair."""
    s_mm: float
    """Distance along the weld on the base-metal surface, in mm."""
    clock_deg: float | None
    """Clock position on a pipe, in degrees from 12 o'clock; null on a plate."""
    across_mm: tuple[float, ...]
    """Places square to the weld, growing to the right facing growing s; 0 midway between the
    toes, in mm."""
    height_mm: tuple[float | None, ...]
    """Height out of the metal over the base metal at each place, in mm; null where nothing was
    seen."""
    U_mm: tuple[float | None, ...]
    """Expanded uncertainty (k = 2) of each height, in mm; null where nothing was seen."""
    points_px: tuple[PixelPoint | None, ...]
    """Where each point appears: x and y in the upright photo, in pixels; null where it does not."""
    left_toe_px: PixelPoint | None
    """Left toe, facing growing s: x and y in the upright photo, in pixels; null if not found."""
    right_toe_px: PixelPoint | None
    """Right toe, facing growing s: x and y in the upright photo, in pixels; null if not found."""
    left_toe_across_mm: float | None = None
    """Place of the left toe on the scale of across_mm, in mm; null if not found."""
    right_toe_across_mm: float | None = None
    """Place of the right toe on the scale of across_mm, in mm; null if not found."""
    left_base: BaseLineRecord | None = None
    """The base metal left of the weld."""
    right_base: BaseLineRecord | None = None
    """The base metal right of the weld."""
    above: str = ""
    """What a reinforcement is measured above: the base metal or, on misaligned parts, the line
    that joins the toes."""
    readings: tuple[ReadingRecord, ...] = ()
    """What this profile alone gives."""
    photos: tuple[int, ...] = ()
    """Indices into photos of a pair, whose pixels are those of the first; else empty."""
