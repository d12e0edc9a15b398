"""The records of what a weld from several photos is like, place by place.

Their field names are keys of the format; the text under each field is its description in the
published JSON Schema. Places are those of `beadcheck.result.whole_weld`.
"""

from dataclasses import dataclass
from typing import Literal

from pydantic import with_config

from beadcheck.result.form import RECORD


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
    """On the half from 12 through 3 to 6 o'clock, in its unit."""
    second: float
    """On the half from 6 through 9 to 12 o'clock, in its unit."""
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
    """What it looks like: on a pipe whose halves are welded uphill, a start near 6 o'clock and a
    stop near 12; elsewhere a tie-in, across which the weld goes on."""
    arc_mm: float
    """Where it lies, in mm."""
    arc_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the place, in mm."""
    clock_deg: float | None
    """Clock position, in degrees; null on a plate."""
    doubt: float
    """From 0, plain to see, to 1: how likely it is none."""
    signs: tuple[str, ...]
    """What shows it: bow_turn, left_step, right_step, width_step or spacing_step."""
    photos: tuple[int, ...]
    """Indices of the photos that show it."""
    words: str
    """What is seen there, in words."""
