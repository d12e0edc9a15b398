"""The records of an open joint; their field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD, PixelPoint


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRecord:
    """The root opening at one station."""

    photo: int
    """Index into photos."""
    s_mm: float
    """Distance along the joint on the base-metal surface, in mm."""
    clock_deg: float | None
    """Clock position in degrees, 12 o'clock is 0; null on plate or without a 12 o'clock mark."""
    left_px: PixelPoint
    """Left edge in the upright photo, x and y in pixels; left and right facing growing s."""
    right_px: PixelPoint
    """Right edge in the upright photo, x and y in pixels."""
    opening_mm: float
    """Root opening, edge to edge, in mm."""
    opening_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty (k = 2), in mm."""
    sure: bool
    """Whether both edges are clear here and the joint is open; statistics use no other."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class TackRecord:
    """A tack: a stretch of the joint that metal fills, between open ones."""

    photo: int
    """Index into photos."""
    s_range_mm: tuple[float, float]
    """Where it begins and ends along the joint, in mm."""
    clock_deg: float | None
    """Clock position of its middle in degrees; null on plate or without a 12 o'clock mark."""
    length_mm: float
    """Length from end to end, on the surface, in mm."""
    length_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty (k = 2), in mm."""
