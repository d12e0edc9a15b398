"""The records of one weld from several photos; their field names are keys of the format.

The text under each field is its description in the published JSON Schema. Places are `arc_mm`,
along the weld on the bare metal: on pipe from the strip's 12 o'clock mark in the strip's direction,
from 0 up to `length_mm`; on plate from the first station. Every `U` is an expanded uncertainty
(k = 2).
"""

from dataclasses import dataclass
from typing import Literal

from pydantic import with_config

from beadcheck.result.form import RECORD
from beadcheck.result.layer import WholeLayerRecord
from beadcheck.result.whole_numbers import (
    BeyondLimitRecord,
    HalfValueRecord,
    SectorRecord,
    StartStopRecord,
)


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutRecord:
    """A photo that is no part of the whole weld."""

    photo: int
    """Index into photos."""
    code: str
    """duplicate, not_belonging, not_connected or not_placed."""
    reason: str
    """Why, and what to do, in words."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPhotoRecord:
    """Where one photo's own frame lies in the whole weld.

    A place x, y of the photo's frame is `arc_mm` = (x + `offset_mm`) times the closure's
    `scale_ratio`, counted round, and as far across as y times that ratio.
    """

    photo: int
    """Index into photos."""
    offset_mm: float
    """To be added to x, in mm."""
    offset_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the offset, in mm."""
    from_arc_mm: float
    """First place that it shows well enough, in mm."""
    to_arc_mm: float
    """Last place that it shows well enough, in mm; beyond `length_mm` where it runs on round."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class GluedJointRecord:
    """A place where the strip is glued together from segments."""

    arc_mm: float
    """Where it lies, in mm."""
    clock_deg: float
    """Its clock position, in degrees."""
    shift_mm: float
    """By how much the segment after it lies further than printed, in mm."""
    shift_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that, in mm."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class ClosureRecord:
    """Whether one turn of the strip is as long as the pipe is round."""

    fault: Literal["none", "diameter", "print_scale", "diameter_or_print_scale", "slack"]
    """What does not fit; none where all does within its uncertainty."""
    words: str
    """What was found and what to do, in words."""
    seen_by: Literal["seam", "overlap", "curvature"]
    """What tells the turn: a photo that shows where the strip closes, toes that two photos show
    across that place, or only the curvature in the photos."""
    photos: tuple[int, ...]
    """Indices of the photos that tell it."""
    turn_mm: float
    """One turn of the strip as it lies, in mm by the print scale used, on the metal."""
    turn_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the turn, the print scale left out, in mm."""
    expected_mm: float
    """What one turn should be by the outside diameter entered, in mm on the metal."""
    curved_diameter_mm: float | None
    """Outside diameter by the curvature in the photos, by the print scale used, in mm."""
    curved_diameter_U_mm: float | None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that, the print scale left out, in mm."""
    scale_ratio: float
    """By what the photos' own lengths along and across are multiplied in this record, so that the
    turn closes; 1 where nothing is known better."""
    scale_U_ratio: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of scale that is left after closing, relative."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class WholeStationRecord:
    """The weld at one place, from every photo that shows it."""

    arc_mm: float
    """Place along the weld, in mm."""
    arc_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the place, in mm."""
    clock_deg: float | None
    """Clock position, in degrees from 12 o'clock; null on a plate."""
    left_across_mm: float
    """Left toe, across the weld, in mm: on pipe along its axis from the strip's weld edge, growing
    towards the strip; on plate from the line through the joined weld's two ends."""
    right_across_mm: float
    """Right toe, likewise."""
    weld_width_mm: float
    """Weld width, in mm."""
    weld_width_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the width, the toe's definition included, in mm."""
    photo: int
    """Index of the photo that shows it most squarely."""
    photos: tuple[int, ...]
    """Indices of all photos that it was taken from."""
    station: int
    """Index into stations of the station of `photo` nearest to it: there its pixels stand."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class WholeCrestRecord:
    """One ripple crest of the whole weld, counted once."""

    arc_mm: float
    """Place along the weld, in mm."""
    clock_deg: float | None
    """Clock position, in degrees; null on a plate."""
    photo: int
    """Index of the photo that shows it most squarely."""
    ripple: int
    """Index into ripples of that photo's crest: there its pixels stand."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class GapRecord:
    """A stretch of the weld that no photo shows well enough."""

    from_arc_mm: float
    """Where it begins, in mm."""
    to_arc_mm: float
    """Where it ends, in mm; beyond `length_mm` where it runs through 12 o'clock."""
    from_clock_deg: float | None
    """Clock position at which it begins; null on a plate."""
    to_clock_deg: float | None
    """Clock position at which it ends, in the direction of arc_mm; null on a plate."""
    words: str
    """Photograph here: from where to where, in words."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class WholeWeldRecord:
    """One weld from several photos, joined by what each shows of the target."""

    shape: Literal["pipe", "plate"]
    """All the way round a pipe, or along a plate."""
    photos: tuple[int, ...]
    """Indices of the photos that it is joined from."""
    placed: tuple[PlacedPhotoRecord, ...]
    """Where each of them lies."""
    left_out: tuple[LeftOutRecord, ...]
    """Photos of the same kind that are no part of it, and why."""
    length_mm: float
    """Girth of the bare pipe, or joined length of a plate's weld, in mm."""
    length_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that length, in mm."""
    outside_diameter_mm: float | None
    """Outside diameter that the clock was laid out on, in mm; null on a plate and in a bore."""
    bore_mm: float | None = None
    """Bore that the clock was laid out on, in mm; null unless the photos show a pipe's inside."""
    clock_sense: int
    """1 where the clock grows with arc_mm, else -1."""
    closure: ClosureRecord | None
    """Whether the strip closes as it should; null on a plate."""
    joints: tuple[GluedJointRecord, ...]
    """Glued joints of the strip, as the photos show them."""
    stations: tuple[WholeStationRecord, ...]
    """The weld every mm, in order of arc_mm; where no photo shows it well there is none."""
    crests: tuple[WholeCrestRecord, ...]
    """Ripple crests in order of arc_mm, each once."""
    crest_count: int | None
    """Number of ripples all the way round; null where a gap or a doubt forbids counting."""
    crest_count_U: float | None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that number."""
    gaps: tuple[GapRecord, ...]
    """Where to photograph."""
    sectors: tuple[SectorRecord, ...]
    """Sectors of the clock, or stretches of a plate's weld."""
    beyond_limits: tuple[BeyondLimitRecord, ...]
    """Where a quantity lies beyond its limit."""
    halves: tuple[HalfValueRecord, ...]
    """The two halves compared; empty unless both are welded uphill and seen well enough."""
    start_stops: tuple[StartStopRecord, ...]
    """Candidates for starts, stops and tie-ins."""
    layer: WholeLayerRecord | None = None
    """Beads side by side; null where no photo shows any."""
    crest_count_words: str = ""
    """The count in words, or why ripples are not counted; empty along a plate."""
    left_is: str | None = None
    """high side or low side where position and strip tell it, in 2G and 6G; else null."""
    right_is: str | None = None
    """Likewise for the right toe."""
