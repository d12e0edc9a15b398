"""Photo after photo, and their results as one."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

from beadcheck.advice import advise
from beadcheck.errors import PhotoError
from beadcheck.limits import LimitSet, check, default_limit_set, load_limit_set
from beadcheck.photo import Photo, read_photo
from beadcheck.photo_advice import (
    PhotoAdvice,
    judged_photo,
    most_harmful_first,
    photo_advice,
    photo_advice_without_target,
    refusal_as_advice,
)
from beadcheck.pipeline.face import FaceMeasurement, all_refused, measure_face
from beadcheck.pipeline.hand_notices import hand_notices
from beadcheck.pipeline.places import station_records
from beadcheck.pipeline.request import MeasuredPhoto, Request
from beadcheck.result import (
    PhotoRecord,
    ProblemRecord,
    Result,
    StationRecord,
    advice_records,
    check_records,
    coupon_record,
    not_measured_records,
    quantity_records,
)
from beadcheck.surface import UnscaledSurface
from beadcheck.target.catalogue import default_targets
from beadcheck.target.design import TargetDesign
from beadcheck.target.read import read_target
from beadcheck.toes import HandToes


def measure(request: Request) -> Result:
    """Measure every photo of the request."""
    return join([measured.result for measured in measure_each(request)])


def measure_each(request: Request) -> Iterator[MeasuredPhoto]:
    """Measure one photo after another; a photo's refusal becomes its `problems`.

    Raises
    ------
    InputFileError
        The target file or the limit file is broken; nothing was measured.
    """
    limit_set = load_limit_set(request.limits or default_limit_set(request.coupon))
    if request.without_target:
        limit_set = limit_set.without_lengths
    designs = _designs(request)
    return (_measured(path, request, designs, limit_set) for path in request.photos)


def look_at(path: Path, request: Request) -> tuple[PhotoAdvice, ...]:
    """Advice on one photo before it is measured as asked for, most harmful first.

    Raises
    ------
    BeadcheckError
        The photo cannot be read, or the target file is broken.
    """
    photo = read_photo(path)
    if request.without_target:
        return photo_advice_without_target(photo)
    return photo_advice(photo, _designs(request), request.coupon)


def join(results: Sequence[Result]) -> Result:
    """Results of single photos of one coupon as one, photo indices counted on."""
    if not results:
        msg = "there is nothing to join"
        raise ValueError(msg)
    shifted = [_counted_on(result, photo) for photo, result in enumerate(results)]
    advice = [a for result in shifted for a in result.advice]
    return replace(
        results[0],
        photos=tuple(p for result in shifted for p in result.photos),
        stations=tuple(s for result in shifted for s in result.stations),
        ripples=tuple(r for result in shifted for r in result.ripples),
        indications=tuple(i for result in shifted for i in result.indications),
        quantities=tuple(q for result in shifted for q in result.quantities),
        not_measured=tuple(n for result in shifted for n in result.not_measured),
        checks=tuple(c for result in shifted for c in result.checks),
        # The same habit shows in several photos of one weld: it is said once.
        advice=tuple({a.change: a for a in reversed(advice)}.values())[::-1],
    )


def _counted_on(result: Result, photo: int) -> Result:
    """Result of one photo, as the given photo of several."""
    return replace(
        result,
        stations=tuple(replace(s, photo=photo) for s in result.stations),
        ripples=tuple(replace(r, photo=photo) for r in result.ripples),
        indications=tuple(replace(i, photo=photo) for i in result.indications),
        quantities=tuple(replace(q, photo=photo) for q in result.quantities),
        not_measured=tuple(replace(n, photo=photo) for n in result.not_measured),
        checks=tuple(replace(c, photo=photo) for c in result.checks),
    )


def _designs(request: Request) -> tuple[TargetDesign, ...]:
    if request.without_target:
        return ()
    if request.target is not None:
        return (read_target(request.target),)
    return default_targets(request.coupon.shape, request.coupon.outside_diameter_mm)


def _measured(
    path: Path, request: Request, designs: Sequence[TargetDesign], limit_set: LimitSet
) -> MeasuredPhoto:
    try:
        photo = read_photo(path)
    except PhotoError as refusal:
        unread = FaceMeasurement(refusal=refusal, not_measured=all_refused(refusal, request))
        record = _photo_record(path.name, request, unread, ())
        return MeasuredPhoto(
            path=path, photo=None, result=_result(record, unread, request, limit_set)
        )
    hand = request.hand.get(path)
    face = measure_face(photo, request, designs, hand=hand)
    record = _photo_record(photo.file, request, face, _warnings(photo, face, hand))
    return MeasuredPhoto(path=path, photo=photo, result=_result(record, face, request, limit_set))


def _warnings(
    photo: Photo, face: FaceMeasurement, hand: HandToes | None
) -> tuple[ProblemRecord, ...]:
    refused = () if face.refusal is None else (refusal_as_advice(face.refusal),)
    advice = judged_photo(photo, found=face.found, surface=face.surface, weld=face.weld)
    told = [
        ProblemRecord(code=each.code, message=each.message)
        for each in most_harmful_first([*advice, *refused])
        if each not in refused
    ]
    if hand is not None and face.toes is not None and face.surface is not None:
        told += hand_notices(face.toes, face.surface)
    return tuple(told)


def _photo_record(
    file: str, request: Request, face: FaceMeasurement, warnings: tuple[ProblemRecord, ...]
) -> PhotoRecord:
    refusals = (
        ()
        if face.refusal is None
        else (ProblemRecord(code=face.refusal.code, message=str(face.refusal)),)
    )
    # Without a target the surface is the picture itself, of which nothing was solved.
    surface = None if isinstance(face.surface, UnscaledSurface) else face.surface
    return PhotoRecord(
        file=file,
        kind=request.kind.value,
        usable=face.refusal is None,
        px_per_mm=None if surface is None else float(surface.px_per_mm),
        tilt_deg=None if surface is None else float(surface.tilt_deg),
        distance_mm=None if surface is None else float(surface.distance_mm),
        problems=(*refusals, *warnings),
        outside_diameter_mm=None if surface is None else surface.outside_diameter_mm,
        fit_residual_px=None if surface is None else float(surface.residual_px),
        target=None if face.found is None else face.found.design.name,
        without_target=request.without_target,
    )


def _result(
    record: PhotoRecord, face: FaceMeasurement, request: Request, limit_set: LimitSet
) -> Result:
    checks = check(face.quantities, face.not_measured, limit_set=limit_set, coupon=request.coupon)
    return Result(
        coupon=coupon_record(request.coupon),
        photos=(record,),
        stations=_stations(face),
        ripples=face.crests,
        indications=face.indications,
        quantities=quantity_records(face.quantities, photo=0, scaled=not request.without_target),
        not_measured=not_measured_records(face.not_measured, photo=0),
        checks=check_records(checks, photo=0),
        advice=advice_records(advise(face.quantities, checks, coupon=request.coupon)),
        limits=limit_set.title,
        made_with=f"beadcheck {version('beadcheck')}",
    )


def _stations(face: FaceMeasurement) -> tuple[StationRecord, ...]:
    if face.surface is None or face.toes is None or face.scale is None:
        return ()
    return station_records(face.toes, face.surface, face.scale)
