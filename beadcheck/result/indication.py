"""The record of a place to look at; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD, PixelPoint


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class IndicationRecord:
    """A place that is worth a look: a candidate, of which only an inspector says what it is."""

    photo: int
    """Index into photos."""
    number: int
    """Its number in the picture and in the lists, from 1 in each photo, the clearest first."""
    kind: str
    """What is seen: spot_on_face, line_at_toe, spot_on_base, rough_spot or dip_at_end."""
    words: str
    """What is seen, in words."""
    look_here: str
    """What to do, and what may look like this."""
    s_mm: float | None
    """Where its middle lies along the weld, in mm; null without a target."""
    clock_deg: float | None
    """Clock position on a pipe, in degrees from 12 o'clock; null on a plate."""
    side: str | None
    """left or right toe or side, facing growing s; null on the weld face."""
    box_px: tuple[PixelPoint, PixelPoint, PixelPoint, PixelPoint]
    """Corners of a box about it: x and y in the upright photo, in pixels."""
    length_along_mm: float | None
    """Its length along the weld, in mm; null without a target."""
    length_along_U_mm: float | None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that length (k = 2), in mm; null without a target."""
    length_across_mm: float | None
    """Its length across the weld, in mm; null without a target."""
    length_across_U_mm: float | None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that length (k = 2), in mm; null without a target."""
    strength: float
    """How clearly it stands out, from 0 to 1; 0.5 is just enough to be shown."""
    s_px: float | None = None
    """Where its middle lies along the weld without a target, in pixels; else null."""
    length_along_px: float | None = None
    """Its length along the weld without a target, in pixels; else null."""
    length_along_U_px: float | None = None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that length (k = 2), in pixels; else null."""
    length_across_px: float | None = None
    """Its length across the weld without a target, in pixels; else null."""
    length_across_U_px: float | None = None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that length (k = 2), in pixels; else null."""
