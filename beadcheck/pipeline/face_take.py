"""A face photo as a take: its pixels, its result, and what would make it better."""

from collections.abc import Sequence
from pathlib import Path

from beadcheck.errors import PhotoError
from beadcheck.photo import Photo, read_photo
from beadcheck.photo_advice import most_harmful_first, refusal_as_advice
from beadcheck.pipeline.face import FaceMeasurement, all_refused, measure_face
from beadcheck.pipeline.hand_notices import hand_notices
from beadcheck.pipeline.in_groove import depth_record, groove_notices
from beadcheck.pipeline.outcome import Measured, Outcome, Reading, photo_record, problem_of
from beadcheck.pipeline.places import station_records
from beadcheck.pipeline.request import MeasuredPhoto, Request, Take
from beadcheck.pipeline.tack_notices import tack_notices
from beadcheck.pipeline.travel_notices import travel_notices
from beadcheck.result import PhotoRecord, ProblemRecord, StationRecord, Whose
from beadcheck.surface import SolvedSurface
from beadcheck.target.design import TargetDesign


def face_take(take: Take, request: Request, designs: Sequence[TargetDesign]) -> Measured:
    """Measure one photo from above; its refusal becomes a problem of it."""
    (path,) = take.photos
    photo: Photo | None = None
    warnings: tuple[ProblemRecord, ...] = ()
    try:
        photo = read_photo(path)
    except PhotoError as refusal:
        face = FaceMeasurement(refusal=refusal, not_measured=all_refused(refusal, request))
    else:
        face = measure_face(photo, request, designs, hand=request.hand.get(path))
        warnings = face_warnings(path, face, request)
    outcome = Outcome(
        photos=(face_record(path.name, take, request, face, warnings),),
        readings=(
            Reading(whose=Whose.one(0), quantities=face.quantities, not_measured=face.not_measured),
        ),
        stations=face_stations(face),
        ripples=face.crests,
        layers=face.layers,
        indications=face.indications,
    )
    return Measured(photos=(MeasuredPhoto(path=path, photo=photo),), outcome=outcome)


def face_warnings(path: Path, face: FaceMeasurement, request: Request) -> tuple[ProblemRecord, ...]:
    """What made the photo worse to measure from, what a person placed, and an odd travel speed."""
    hand = request.hand.get(path)
    refused = () if face.refusal is None else (refusal_as_advice(face.refusal),)
    told = [
        ProblemRecord(code=each.code, message=each.message)
        for each in most_harmful_first([*face.advice, *refused])
        if each not in refused
    ]
    if hand is not None and face.toes is not None and face.surface is not None:
        told += hand_notices(face.toes, face.surface)
    if face.on_target is not None:
        told += groove_notices(face.on_target, request.coupon)
    if face.toes is not None and isinstance(face.surface, SolvedSurface):
        told += tack_notices(face.toes, face.surface, request.tacks)
    told += travel_notices(face.quantities, request)
    return tuple(told)


def face_record(
    file: str,
    take: Take,
    request: Request,
    face: FaceMeasurement,
    warnings: tuple[ProblemRecord, ...],
) -> PhotoRecord:
    """Record of a photo from above, its refusal first."""
    refusals = () if face.refusal is None else (problem_of(face.refusal),)
    depth = None if face.on_target is None else face.on_target.depth
    return photo_record(
        file,
        take.kind,
        usable=face.refusal is None,
        problems=(*refusals, *warnings),
        found=face.found,
        surface=face.surface,
        without_target=request.without_target,
        pass_depth=depth_record(depth),
    )


def face_stations(face: FaceMeasurement) -> tuple[StationRecord, ...]:
    """Every station whose toes were followed; none where they were not."""
    if face.surface is None or face.toes is None or face.scale is None:
        return ()
    return station_records(face.toes, face.surface, face.scale)
