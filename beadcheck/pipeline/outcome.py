"""What one take gave, whichever kind it is, and the result that is made of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version

from beadcheck.errors import BeadcheckError
from beadcheck.limits import (
    LimitSet,
    default_limit_set,
    load_limit_set,
    look_for,
    not_judged,
)
from beadcheck.measurements.heat import stated_quantities
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.frames import frame_record
from beadcheck.pipeline.judged import Judge, judged
from beadcheck.pipeline.request import MeasuredPhoto, Request
from beadcheck.profiles.pair import HeightMap
from beadcheck.quantity import NotMeasured, Quantity
from beadcheck.result import (
    IndicationRecord,
    LayerRecord,
    OpeningRecord,
    PassDepthRecord,
    PhotoRecord,
    ProblemRecord,
    ProfileRecord,
    Result,
    RippleRecord,
    StationRecord,
    TackRecord,
    Whose,
    coupon_record,
    not_measured_records,
    quantity_records,
    settings_record,
)
from beadcheck.surface import SolvedSurface, Surface, UnscaledSurface
from beadcheck.target.find import FoundTarget


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Everything that one photo, or several together, gave or could not give."""

    whose: Whose
    quantities: tuple[Quantity, ...] = ()
    not_measured: tuple[NotMeasured, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one take gave; photo indices count from 0 within the take."""

    photos: tuple[PhotoRecord, ...]
    readings: tuple[Reading, ...]
    stations: tuple[StationRecord, ...] = ()
    ripples: tuple[RippleRecord, ...] = ()
    layers: tuple[LayerRecord, ...] = ()
    indications: tuple[IndicationRecord, ...] = ()
    profiles: tuple[ProfileRecord, ...] = ()
    openings: tuple[OpeningRecord, ...] = ()
    tacks: tuple[TackRecord, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """One take: the pixels of its photos, what they gave and, of a pair, its heights."""

    photos: tuple[MeasuredPhoto, ...]
    outcome: Outcome
    height_map: HeightMap | None = None


def limit_set_of(request: Request) -> LimitSet:
    """Limits that were asked for; without a target those on ratios alone.

    Raises
    ------
    InputFileError
        The limit file is broken.
    """
    limit_set = load_limit_set(request.limits or default_limit_set(request.coupon), request.judging)
    return limit_set.without_lengths if request.without_target else limit_set


def result_of(outcome: Outcome, request: Request, limit_set: LimitSet) -> Result:
    """Result of one take alone: every quantity compared with its limits, and what to change."""
    scaled = not request.without_target
    readings = (*outcome.readings, _as_stated(request))
    take = Result(
        coupon=coupon_record(request.coupon),
        settings=settings_record(request.settings, request.coupon, request.allowed),
        photos=outcome.photos,
        stations=outcome.stations,
        ripples=outcome.ripples,
        layers=outcome.layers,
        indications=outcome.indications,
        profiles=outcome.profiles,
        openings=outcome.openings,
        tacks=outcome.tacks,
        quantities=tuple(
            record
            for reading in readings
            for record in quantity_records(reading.quantities, reading.whose, scaled=scaled)
        ),
        not_measured=tuple(
            record
            for reading in readings
            for record in not_measured_records(reading.not_measured, reading.whose)
        ),
        limits=limit_set.title,
        look_for=look_for(limit_set, request.coupon),
        not_judged=not_judged(request.coupon.weld_pass),
        made_with=_made_with(),
    )
    judge = Judge(
        coupon=request.coupon,
        limit_set=limit_set,
        settings=request.settings,
        allowed=request.allowed,
    )
    return judged(take, judge)


@cache
def _made_with() -> str:
    """Name and version; asking the installation takes as long as a stage of a photo."""
    return f"beadcheck {version('beadcheck')}"


def _as_stated(request: Request) -> Reading:
    """What follows from the settings alone; it belongs to no photo."""
    found = stated_quantities(request.arc)
    return Reading(
        whose=Whose.coupon(()),
        quantities=tuple(each for each in found if isinstance(each, Quantity)),
        not_measured=tuple(each for each in found if isinstance(each, NotMeasured)),
    )


def photo_record(
    file: str,
    kind: PhotoKind,
    *,
    usable: bool,
    problems: Iterable[ProblemRecord],
    found: FoundTarget | None = None,
    surface: Surface | None = None,
    without_target: bool = False,
    pass_depth: PassDepthRecord | None = None,
) -> PhotoRecord:
    """Record of one photo: what was solved of it, as far as that went."""
    # Without a target the surface is the picture itself, of which nothing was solved.
    solved = None if isinstance(surface, UnscaledSurface) else surface
    return PhotoRecord(
        file=file,
        kind=kind.value,
        usable=usable,
        px_per_mm=None if solved is None else float(solved.px_per_mm),
        tilt_deg=None if solved is None else float(solved.tilt_deg),
        distance_mm=None if solved is None else float(solved.distance_mm),
        problems=tuple(problems),
        outside_diameter_mm=None if solved is None else solved.outside_diameter_mm,
        bore_mm=solved.bore_mm if isinstance(solved, SolvedSurface) else None,
        fit_residual_px=None if solved is None else float(solved.residual_px),
        target=None if found is None else found.design.name,
        camera=None if solved is None else solved.calibration,
        without_target=without_target,
        pass_depth=pass_depth,
        frame=None if found is None else frame_record(solved, found.design),
    )


def problem_of(refusal: BeadcheckError) -> ProblemRecord:
    """Refusal as a problem of a photo."""
    return ProblemRecord(code=refusal.code, message=str(refusal))
