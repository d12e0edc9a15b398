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
    seen_by: Literal["seam", "curvature"]
    """Whether a photo shows where the strip closes, or only the curvature in the photos tells."""
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
class SectorValueRecord:
    """One quantity over one sector."""

    name: str
    """What was measured, such as weld_width."""
    statistic: str
    """mean, sd, min or max."""
    value: float
    """The value, in its unit."""
    unit: str
    """mm, ratio or deg."""
    expanded_uncertainty: float
    """Expanded uncertainty, in the unit of the value."""
    count: int
    """Number of readings behind the value."""
    side: str | None = None
    """left or right toe; null where the quantity has no side."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class SectorRecord:
    """One sector of the clock, or one of equally long stretches of a plate's weld."""

    number: int
    """From 0; on pipe the first has 12 o'clock in its middle."""
    from_arc_mm: float
    """Where it begins, in mm; below 0 where it runs through 12 o'clock."""
    to_arc_mm: float
    """Where it ends, in mm."""
    middle_clock_deg: float | None
    """Clock position of its middle, in degrees; null on a plate."""
    covered_ratio: float
    """How much of it photos show well enough, from 0 to 1."""
    values: tuple[SectorValueRecord, ...]
    """What was measured there; empty where too little of it is seen."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class BeyondLimitRecord:
    """A stretch of the weld over which a quantity lies beyond its limit."""

    name: str
    """What was measured, such as weld_width."""
    from_arc_mm: float
    """Where it begins, in mm."""
    to_arc_mm: float
    """Where it ends, in mm; beyond `length_mm` where it runs through 12 o'clock."""
    from_clock_deg: float | None
    """Clock position at which it begins; null on a plate."""
    to_clock_deg: float | None
    """Clock position at which it ends; null on a plate."""
    worst_arc_mm: float
    """Where it lies farthest beyond, in mm."""
    worst_clock_deg: float | None
    """Clock position of that; null on a plate."""
    worst_value: float
    """The value there, in its unit."""
    expanded_uncertainty: float
    """Expanded uncertainty of that value, in its unit."""
    limit: float
    """The limit, in the same unit."""
    beyond: float
    """By how much the value lies beyond the limit."""
    unit: str
    """mm, ratio or deg."""
    sure: bool
    """Whether it lies beyond by more than its uncertainty."""
    source: str
    """Whose limit it is."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class HalfValueRecord:
    """One quantity on the two halves of a weld that is welded uphill from 6 to 12 twice."""

    name: str
    """What was measured, such as weld_width."""
    statistic: str
    """mean or sd."""
    first: float
    """On the half from 12 by 3 to 6 o'clock, in its unit."""
    second: float
    """On the half from 6 by 9 to 12 o'clock, in its unit."""
    difference: float
    """First less second."""
    expanded_uncertainty: float
    """Expanded uncertainty of the difference, in the same unit."""
    unit: str
    """mm or ratio."""
    words: str
    """What that says, in words."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class StartStopRecord:
    """A place that looks like a start, a stop or a tie-in: a candidate, not every one is found."""

    kind: Literal["start", "stop", "tie-in"]
    """What it looks like: a tie-in where the weld goes on across it."""
    arc_mm: float
    """Where it lies, in mm."""
    arc_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the place, in mm."""
    clock_deg: float | None
    """Clock position, in degrees; null on a plate."""
    doubt: float
    """From 0, plain to see, to 1: how likely it is none."""
    signs: tuple[str, ...]
    """What shows it: width_step, bulge, ripple_break or height_step."""
    photos: tuple[int, ...]
    """Indices of the photos that show it."""
    words: str
    """What is seen there, in words."""


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
    """Outside diameter that the clock was laid out on, in mm; null on a plate."""
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
    left_is: str | None = None
    """high side or low side where position and strip tell it, in 2G and 6G; else null."""
    right_is: str | None = None
    """Likewise for the right toe."""
