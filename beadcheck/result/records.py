"""The records of the format ``beadcheck-result/1``; field names are its keys.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass
from typing import Final, Literal

from pydantic import with_config

from beadcheck.limits import NOT_JUDGED, Finding
from beadcheck.result.coupon import CouponRecord
from beadcheck.result.fit_up import OpeningRecord, TackRecord
from beadcheck.result.form import RECORD, PixelPoint, PlacePoint
from beadcheck.result.indication import IndicationRecord
from beadcheck.result.layer import LayerRecord
from beadcheck.result.photo import PhotoRecord
from beadcheck.result.profile import ProfileRecord
from beadcheck.result.settings import SettingsRecord
from beadcheck.result.whole_weld import WholeWeldRecord

FORMAT: Final = "beadcheck-result/1"
CAUTION: Final = (
    "beadcheck is a practice aid. The final judgement is a qualified inspector's, under the "
    "governing code and procedure; a photo of the face shows no inside flaw."
)


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class StationRecord:
    """The weld at one station."""

    photo: int
    """Index into photos."""
    s_mm: float | None
    """Distance along the weld on the base-metal surface, in mm; null without a target."""
    clock_deg: float | None
    """Clock position on a pipe, in degrees from 12 o'clock; null on a plate."""
    left_toe_px: PixelPoint
    """Left toe, facing growing s: x and y in the upright photo, in pixels."""
    right_toe_px: PixelPoint
    """Right toe, facing growing s: x and y in the upright photo, in pixels."""
    weld_width_mm: float | None
    """Weld width from optical toe to optical toe, in mm; null without a target."""
    weld_width_U_mm: float | None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the width (k = 2), the toe's definition included, in mm."""
    sure: bool
    """Whether both toes are clear here; statistics use sure stations only."""
    steady: bool
    """Whether the station lies in the steady body of the weld, away from its ends."""
    face_reinforcement_mm: float | None = None
    """Face reinforcement, in mm; null where no height was measured."""
    face_reinforcement_U_mm: float | None = None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of the face reinforcement (k = 2), in mm."""
    s_px: float | None = None
    """Distance along the weld in a photo without a target, in pixels; else null."""
    weld_width_px: float | None = None
    """Weld width in a photo without a target, in pixels; else null."""
    weld_width_U_px: float | None = None  # noqa: N815  # U is the standard's symbol for it
    """Expanded uncertainty of that width (k = 2), in pixels; else null."""
    left_placed_by_hand: bool = False
    """Whether a person placed the left toe here."""
    right_placed_by_hand: bool = False
    """Whether a person placed the right toe here."""
    left_toe_mm: PlacePoint | None = None
    """Left toe in the target's frame (see photos[].frame), x and y in mm; null without a target."""
    right_toe_mm: PlacePoint | None = None
    """Right toe in the target's frame, x and y in mm; null without a target."""
    seen_at_deg: float | None = None
    """Angle between the line of sight and the surface, 90 square on; null without a target."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class RippleRecord:
    """One ripple crest at the middle of the bead."""

    photo: int
    """Index into photos."""
    s_mm: float | None
    """Distance along the weld, in mm; null without a target."""
    px: PixelPoint
    """x and y in the upright photo, in pixels."""
    s_px: float | None = None
    """Distance along the weld in a photo without a target, in pixels; else null."""
    place_mm: PlacePoint | None = None
    """Where it lies in the target's frame (see photos[].frame), x and y in mm; null without a
    target."""
    bow_mm: float | None = None
    """How far its ends at the toes lie ahead of its middle, in mm along the weld: it turns over
    where two runs meet; null without a target."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class ComponentRecord:
    """One line of an uncertainty budget."""

    source: str
    """What the effect is."""
    standard_uncertainty: float
    """Its standard uncertainty, in the unit of the quantity."""
    scope: str
    """What the effect is common to: station, photo, print or definition."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityRecord:
    """One measured value with its uncertainty."""

    name: str
    """What was measured, such as weld_width."""
    statistic: str
    """Which summary of the stations: mean, sd, min, max or total."""
    value: float
    """The value, in its unit."""
    unit: str
    """mm, mm2, ratio, deg, mm/s or px; of arc and run, A, W, kJ/mm or Hz."""
    expanded_uncertainty: float
    """Expanded uncertainty, in the unit of the value."""
    coverage_factor: float
    """Coverage factor k of the expanded uncertainty: 2."""
    count: int
    """Number of independent readings behind the value."""
    scope: Literal["photo", "coupon"]
    """Whether the value stands for what one photo (or a pair) shows, or for the coupon: from
    several photos, or from the settings where photos is empty."""
    photo: int | None
    """Index into photos; null where several were used."""
    side: str | None
    """left or right toe, facing growing s; null where the quantity has no side."""
    s_range_mm: tuple[float, float] | None
    """First and last station that the value covers, in mm; null without a target, and for what
    follows from the settings alone."""
    budget: tuple[ComponentRecord, ...] = ()
    """The effects that make up the uncertainty."""
    s_range_px: tuple[float, float] | None = None
    """First and last station that the value covers without a target, in pixels; else null."""
    photos: tuple[int, ...] = ()
    """Indices into photos where several were used; else empty."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class NotMeasuredRecord:
    """A quantity that was not measured."""

    name: str
    """What was not measured."""
    reason: str
    """Why not."""
    how_to: str
    """How to get it."""
    photo: int | None = None
    """Index into photos; null where several were used, or where it holds for all."""
    photos: tuple[int, ...] = ()
    """Indices into photos where several were used; else empty."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRecord:
    """One comparison of a value with a limit."""

    name: str
    """The quantity compared."""
    finding: Finding
    """within, outside, undecided (the limit lies inside the uncertainty) or not measured."""
    value: float | None
    """The value compared, in its unit; null when not measured."""
    limit: float | None
    """The limit, the upper of two; null when it depends on something that is not known."""
    unit: str
    """Unit of value and limit."""
    source: str
    """Whose limit it is: document, edition and clause."""
    statistic: str | None = None
    """The statistic compared, or a difference such as "max - mean"."""
    expanded_uncertainty: float | None = None
    """Expanded uncertainty (k = 2) of the comparison, that of a width in the limit included."""
    sense: Literal["at most", "at least", "between"] = "at most"
    """Which side of the limit is wanted; between, where there are two."""
    lowest: float | None = None
    """The lower of two limits; null where there is one."""
    printed_in: Literal["mm", "inch"] = "mm"
    """Which of the numbers that the source prints the limit is; in its unit all the same."""
    verified: str = ""
    """How the limit's number was verified."""
    rule: str = ""
    """The decision rule: the guard band w in terms of the expanded uncertainty U."""
    photo: int | None = None
    """Index into photos; null where several were used."""
    note: str = ""
    """Why it was not measured or stays undecided, and what else the limit says."""
    side: str | None = None
    """left or right toe; null where the quantity has no side."""
    conformity_probability: float | None = None
    """Probability that the true value meets the limit (JCGM 106), from 0 to 1."""
    obligation: Literal["shall", "should"] = "shall"
    """Whether the source demands the limit or recommends it."""
    photos: tuple[int, ...] = ()
    """Indices into photos where several were used; else empty."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceRecord:
    """One thing to change on the next run."""

    symptom: str
    """What was measured."""
    change: str
    """The one thing to change first."""
    why: str
    """Why that should help."""
    basis: str = ""
    """Where the advice comes from, such as common practice."""
    urgency: str = "evenness"
    """Why it has its rank: unwelded, outside, undecided, shape, evenness or look."""
    lever: str = "rhythm"
    """What the change turns, such as heat or travel; no two pieces turn the same."""
    sure: str = "sure: beyond by more than the uncertainty"
    """How sure it is that the symptom is there; the cause is only ever likely."""
    look_first: str = ""
    """What to look at before anything is changed; empty where nothing is in doubt."""
    next_change: str = ""
    """What to try after that, if the symptom stays."""
    needs: str = ""
    """What would have to be entered for the advice to give a number."""
    pushes: tuple[str, ...] = ()
    """Which way the change goes, such as hotter or slower; no two pieces go opposite ways."""
    next_pushes: tuple[str, ...] = ()
    """Which way the next change goes."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """Everything that came out of one measurement."""

    format: Literal["beadcheck-result/1"] = FORMAT
    """Name and version of this format."""
    coupon: CouponRecord
    """The coupon and the pass, as entered."""
    settings: SettingsRecord | None = None
    """Arc and run, as entered; null where nothing was."""
    photos: tuple[PhotoRecord, ...]
    """The photos, in the order given."""
    stations: tuple[StationRecord, ...] = ()
    """The weld at each station of each photo."""
    ripples: tuple[RippleRecord, ...] = ()
    """Ripple crests along the middle of the bead."""
    layers: tuple[LayerRecord, ...] = ()
    """Beads side by side, of each photo that shows them or should; none of a single bead."""
    indications: tuple[IndicationRecord, ...] = ()
    """Places to look at; they take no part in checks, and only an inspector says what they are."""
    profiles: tuple[ProfileRecord, ...] = ()
    """Height profiles across the weld; a face photo gives none."""
    openings: tuple[OpeningRecord, ...] = ()
    """Root opening of a fit-up, station by station; empty for a pass."""
    tacks: tuple[TackRecord, ...] = ()
    """Tacks of a fit-up, in order along each photo's joint; empty for a pass."""
    quantities: tuple[QuantityRecord, ...] = ()
    """What was measured, each with its uncertainty."""
    not_measured: tuple[NotMeasuredRecord, ...] = ()
    """What was not measured, why, and how to get it."""
    checks: tuple[CheckRecord, ...] = ()
    """Comparisons with the chosen limits."""
    advice: tuple[AdviceRecord, ...] = ()
    """What to change on the next run, most pressing first."""
    whole_weld: WholeWeldRecord | None = None
    """Several photos of one weld as one, by clock position or along a plate; null where there are
    not two photos from above with a target."""
    limits: str | None = None
    """Title of the limit set used."""
    look_for: str = ""
    """What the limit set asks of this pass besides its numbers; empty where it says nothing."""
    not_judged: str = NOT_JUDGED
    """What limit sets ask of this pass too, and no photo is compared with: look for it."""
    caution: str = CAUTION
    """Who decides, and what a photo cannot show."""
    made_with: str = ""
    """Program and version that wrote the result."""
