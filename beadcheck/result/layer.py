"""The records of beads side by side; field names are keys of the format.

A bead's width is what can be seen of it: from a toe or valley to the next valley or toe, on the
base-metal surface. What lies under a neighbour is not counted. Beads and valleys are told from left
to right; every `U` is an expanded uncertainty (k = 2).
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD, PixelPoint, PlacePoint


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class BeadWidthRecord:
    """The width of one bead over a stretch of the weld."""

    bead: int
    """Number of the bead, from 1 at the left toe."""
    mean_mm: float
    """Mean width, in mm."""
    mean_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the mean, in mm."""
    min_mm: float
    """Least width of a station, in mm."""
    max_mm: float
    """Greatest width of a station, in mm."""
    extreme_U_mm: float  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the least and of the greatest, in mm."""
    count: int
    """Stations at which both its edges are seen."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class LayerStationRecord:
    """The beads at one station of the steady weld."""

    s_mm: float
    """Distance along the weld, in mm: that of an entry of stations."""
    clock_deg: float | None
    """Clock position on a pipe, in degrees; null on a plate."""
    valleys_px: tuple[PixelPoint, ...]
    """Where each valley is seen: x and y in the upright photo, in pixels."""
    valleys_mm: tuple[PlacePoint, ...]
    """Each valley in the target's frame (see photos[].frame), its height's perspective taken out,
    in mm."""
    valleys_U_mm: tuple[float, ...]  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of each valley's place across the weld, in mm."""
    seen: tuple[bool, ...]
    """Whether each valley is seen here; statistics use no other."""
    widths_mm: tuple[float, ...]
    """Width of each bead, in mm; of one whose edges are not seen, as its lines run on."""
    widths_U_mm: tuple[float, ...]  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of each width, in mm."""
    sure: tuple[bool, ...]
    """Whether both edges of each bead are seen here."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class LayerRecord:
    """Beads side by side in one photo: the layer on top."""

    photo: int
    """Index into photos."""
    count: int
    """How many beads lie side by side: as entered, or else as seen."""
    seen_count: int | None
    """How many the photo shows of itself; null where it shows too little."""
    not_measured: str | None = None
    """Why there are no widths, and how to get them; null where there are."""
    widths: tuple[BeadWidthRecord, ...] = ()
    """Width of each bead whose edges are seen over enough of the weld."""
    stations: tuple[LayerStationRecord, ...] = ()
    """The valleys and widths every mm of the steady weld."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class WholeLayerStationRecord:
    """The beads at one place of the whole weld, from every photo that shows all valleys there."""

    arc_mm: float
    """Place along the weld, in mm: that of an entry of the whole weld's stations."""
    clock_deg: float | None
    """Clock position, in degrees; null on a plate."""
    valleys_across_mm: tuple[float, ...]
    """Each valley across the weld, in mm, as the toes of the whole weld's stations."""
    widths_mm: tuple[float, ...]
    """Width of each bead, in mm."""
    widths_U_mm: tuple[float, ...]  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of each width, in mm."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class SectorBeadsRecord:
    """Widths of the beads in one sector of the whole weld."""

    number: int
    """Number of the sector, as in sectors."""
    widths: tuple[BeadWidthRecord, ...]
    """Width of each bead; empty where too little is seen."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class WholeLayerRecord:
    """Beads side by side of the whole weld."""

    count: int
    """How many beads lie side by side."""
    photos: tuple[int, ...]
    """Indices of the photos that show so many."""
    widths: tuple[BeadWidthRecord, ...]
    """Width of each bead over all that is seen."""
    sectors: tuple[SectorBeadsRecord, ...]
    """The same by sector."""
    stations: tuple[WholeLayerStationRecord, ...]
    """In order of arc_mm; where no photo shows all valleys there is none."""
