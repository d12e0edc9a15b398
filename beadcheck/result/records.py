"""The records of the format ``beadcheck-result/1``; field names are its keys."""

from dataclasses import dataclass, field
from typing import Annotated, Final, Literal

from pydantic import Field

CAUTION: Final = (
    "beadcheck is a practice aid. The final judgement is a qualified inspector's, under the "
    "governing code and procedure; a photo of the face shows no inside flaw."
)

PixelPoint = tuple[float, float]
"""x and y in the upright photo, px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponRecord:
    """The coupon and the pass, as entered."""

    shape: str
    outside_diameter_mm: float | None
    wall_thickness_mm: float | None
    weld_pass: Annotated[str | None, Field(alias="pass")]
    process: str | None = None
    position: str | None = None
    progression: str | None = None
    peak_time_s: float | None = None
    background_time_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemRecord:
    """Something about one photo: a refusal, or a warning that widened the uncertainty."""

    code: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRecord:
    """One photo; lengths are None where no surface was solved."""

    file: str
    kind: str
    usable: bool
    px_per_mm: float | None
    tilt_deg: float | None
    distance_mm: float | None
    problems: tuple[ProblemRecord, ...]
    outside_diameter_mm: float | None = None
    fit_residual_px: float | None = None
    target: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StationRecord:
    """The weld at one station; `weld_width_U_mm` is expanded, k = 2, definition included."""

    photo: int
    s_mm: float
    clock_deg: float | None
    left_toe_px: PixelPoint
    right_toe_px: PixelPoint
    weld_width_mm: float | None
    weld_width_U_mm: float | None  # noqa: N815  # U is the standard's symbol for it
    sure: bool
    steady: bool
    face_reinforcement_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RippleRecord:
    """One ripple crest at the middle of the bead."""

    photo: int
    s_mm: float
    px: PixelPoint


@dataclass(frozen=True, slots=True, kw_only=True)
class ComponentRecord:
    """One line of a budget, in the unit of its quantity."""

    source: str
    standard_uncertainty: float
    scope: str


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityRecord:
    """One measured value. `photo` indexes `photos`, or is None where several were used."""

    name: str
    statistic: str
    value: float
    unit: str
    expanded_uncertainty: float
    coverage_factor: float
    count: int
    scope: Literal["photo", "coupon"]
    photo: int | None
    side: str | None
    s_range_mm: tuple[float, float]
    budget: tuple[ComponentRecord, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NotMeasuredRecord:
    """A quantity that was not measured, why, and how to get it."""

    name: str
    reason: str
    how_to: str
    photo: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRecord:
    """One comparison with a limit; `finding` is within, outside, undecided or not measured."""

    name: str
    finding: str
    value: float | None
    limit: float
    unit: str
    source: str
    statistic: str | None = None
    expanded_uncertainty: float | None = None
    sense: Literal["at most", "at least"] = "at most"
    verified: str = ""
    rule: str = ""
    photo: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceRecord:
    """One thing to change on the next run."""

    symptom: str
    change: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """Everything that came out of one measurement."""

    coupon: CouponRecord
    photos: tuple[PhotoRecord, ...]
    stations: tuple[StationRecord, ...] = ()
    ripples: tuple[RippleRecord, ...] = ()
    profiles: tuple[()] = ()
    quantities: tuple[QuantityRecord, ...] = ()
    not_measured: tuple[NotMeasuredRecord, ...] = ()
    checks: tuple[CheckRecord, ...] = ()
    advice: tuple[AdviceRecord, ...] = ()
    limits: str | None = None
    caution: str = CAUTION
    made_with: str = ""
    format: Literal["beadcheck-result/1"] = field(default="beadcheck-result/1")
