"""Two photos or more of one place as a take: the face of the first, and heights all over it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from beadcheck.coupon import Shape
from beadcheck.errors import BeadcheckError, PhotoError
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.errors.take import OtherPhotoOfPairError
from beadcheck.measurements.profile import ProfileReading, SectionValue
from beadcheck.photo import Photo, read_photo
from beadcheck.photo_advice import judged_photo, most_harmful_first
from beadcheck.pipeline.coupon_values import HEIGHTS
from beadcheck.pipeline.face import FaceMeasurement, all_refused, measure_face
from beadcheck.pipeline.face_take import face_stations, face_warnings
from beadcheck.pipeline.outcome import Measured, Outcome, Reading, photo_record, problem_of
from beadcheck.pipeline.request import MeasuredPhoto, Request, Take
from beadcheck.pipeline.sections import (
    Sections,
    heights_refused,
    nothing_read,
    profile_records,
    read_sections,
    section_stations,
)
from beadcheck.pipeline.solved import solved_surface
from beadcheck.pipeline.weld_on_target import located_weld
from beadcheck.profiles.pair import (
    HeightMap,
    PairView,
    band_along_target,
    pair_heights,
    sections,
)
from beadcheck.profiles.pair.height_map import STATION_MM
from beadcheck.quantity import QuantityName
from beadcheck.result import PhotoRecord, ProblemRecord, StationRecord, Whose
from beadcheck.side_by_side import side_by_side
from beadcheck.surface import SolvedSurface, of_bare_metal
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget, find_target
from beadcheck.toes import LocatedWeld

NEAREST_STATION_MM: Final = 0.75 * STATION_MM
"""A station takes the nearest profile, where it does not lie in a gap between them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Photo:
    """One photo of the pair, as far as it went; `refusal` is its own."""

    path: Path
    photo: Photo | None = None
    found: FoundTarget | None = None
    surface: SolvedSurface | None = None
    refusal: BeadcheckError | None = None

    @property
    def view(self) -> PairView | None:
        """What the pair is measured by; None where the photo was refused."""
        if self.photo is None or self.found is None or self.surface is None:
            return None
        return PairView(photo=self.photo, found=self.found, surface=self.surface)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Heights:
    """Heights of the pair, or why there are none."""

    height_map: HeightMap | None = None
    sections: Sections | None = None
    refusal: BeadcheckError | None = None


def pair_take(take: Take, request: Request, designs: Sequence[TargetDesign]) -> Measured:
    """Measure a pair, and its first photo as one from above; refusals become problems."""

    def seen(index: int) -> tuple[_Photo, FaceMeasurement | None]:
        path = take.photos[index]
        if index == 0:
            return _first(path, request, designs)
        return _further(path, request, designs), None

    looks = side_by_side(seen, range(len(take.photos)))
    photos = [photo for photo, _ in looks]
    (face,) = (each for _, each in looks if each is not None)
    heights = _heights(photos, face, request)
    weld_pass = request.coupon.weld_pass
    whose = Whose.together(range(len(photos)))
    if heights.sections is None:
        refusal = heights.refusal or next(p.refusal for p in photos if p.refusal is not None)
        reading = Reading(whose=whose, not_measured=heights_refused(refusal, weld_pass))
    else:
        reading = Reading(
            whose=whose,
            # The toes that a photo from above shows are the better known: its width is the weld's.
            quantities=tuple(
                q for q in heights.sections.quantities if q.name is not QuantityName.WELD_WIDTH
            ),
            not_measured=heights.sections.not_measured,
        )
    face_reading = Reading(
        whose=Whose.one(0),
        quantities=face.quantities,
        not_measured=tuple(n for n in face.not_measured if n.name not in HEIGHTS),
    )
    sections_read = () if heights.sections is None else heights.sections.readings
    outcome = Outcome(
        photos=tuple(
            _record(index, photo, photos, face, heights, take, request)
            for index, photo in enumerate(photos)
        ),
        readings=(face_reading, reading),
        stations=_stations(face, sections_read),
        ripples=face.crests,
        layers=face.layers,
        indications=face.indications,
        profiles=profile_records(sections_read, whose),
    )
    return Measured(
        photos=tuple(MeasuredPhoto(path=each.path, photo=each.photo) for each in photos),
        outcome=outcome,
        height_map=heights.height_map,
    )


def _first(
    path: Path, request: Request, designs: Sequence[TargetDesign]
) -> tuple[_Photo, FaceMeasurement]:
    """Read the first photo, and measure it as one from above."""
    try:
        photo = read_photo(path)
    except PhotoError as refusal:
        unread = FaceMeasurement(refusal=refusal, not_measured=all_refused(refusal, request))
        return _Photo(path=path, refusal=refusal), unread
    face = measure_face(photo, request, designs, hand=request.hand.get(path))
    surface = of_bare_metal(face.surface) if isinstance(face.surface, SolvedSurface) else None
    own = face.refusal if surface is None else None
    first = _Photo(path=path, photo=photo, found=face.found, surface=surface, refusal=own)
    return first, face


def _further(path: Path, request: Request, designs: Sequence[TargetDesign]) -> _Photo:
    """Read a further photo, and solve its surface."""
    photo: Photo | None = None
    found: FoundTarget | None = None
    try:
        photo = read_photo(path)
        found = find_target(photo, designs)
        surface = solved_surface(found, photo, request)
    except BeadcheckError as refusal:
        return _Photo(path=path, photo=photo, found=found, refusal=refusal)
    return _Photo(path=path, photo=photo, found=found, surface=surface)


def _heights(photos: Sequence[_Photo], face: FaceMeasurement, request: Request) -> _Heights:
    views = [each.view for each in photos]
    seen = [view for view in views if view is not None]
    if len(seen) < len(views):
        return _Heights()
    height_map: HeightMap | None = None
    try:
        height_map = pair_heights(
            seen,
            coupon=request.coupon,
            weld=_weld(seen[0], face, request),
            toes=face.toes,
            step=request.step_in(photos[0].path),
        )
        read = read_sections(sections(height_map), request.coupon.weld_pass)
    except BeadcheckError as refusal:
        return _Heights(height_map=height_map, refusal=refusal)
    return _Heights(height_map=height_map, sections=read)


def _weld(view: PairView, face: FaceMeasurement, request: Request) -> LocatedWeld:
    """Where the weld runs in the first photo; without one, bare metal along a plate's target."""
    if face.weld is not None:
        ends = face.weld.s_range_mm
        if face.toes is not None:
            ends = (float(face.toes.s_mm[0]), float(face.toes.s_mm[-1]))
        return LocatedWeld(
            axis=face.weld.axis, s_range_mm=ends, width_mm=face.weld.width_mm, reach_mm=ends
        )
    try:
        return located_weld(view.photo, view.surface, request)
    except NoWeldFoundError:
        if view.surface.shape is not Shape.PLATE:
            raise
    return band_along_target(view.photo, view.surface)


def _record(
    index: int,
    photo: _Photo,
    photos: Sequence[_Photo],
    face: FaceMeasurement,
    heights: _Heights,
    take: Take,
    request: Request,
) -> PhotoRecord:
    """Record of one photo: its own refusal first, then the pair's, then what harms it."""
    read = heights.sections is not None and bool(heights.sections.quantities)
    is_first = index == 0
    refusals = [photo.refusal, face.refusal if is_first else None, heights.refusal]
    if photo.refusal is None and heights.sections is None and heights.refusal is None:
        spoilt = next(each for each in photos if each.refusal is not None)
        refusals.append(OtherPhotoOfPairError(spoilt.path.name))
    problems = {r.code: problem_of(r) for r in refusals if r is not None}
    if is_first and heights.height_map is not None and heights.height_map.notice is not None:
        notice = problem_of(heights.height_map.notice)
        problems.setdefault(notice.code, notice)
    if heights.sections is not None and not read:
        nothing = nothing_read(heights.sections.not_measured)
        problems.setdefault(nothing.code, nothing)
    for warning in _warnings(photo, face if is_first else None, request):
        problems.setdefault(warning.code, warning)
    return photo_record(
        photo.path.name,
        take.kind,
        usable=read or (is_first and face.refusal is None),
        problems=problems.values(),
        found=photo.found,
        surface=photo.surface,
    )


def _warnings(
    photo: _Photo, face: FaceMeasurement | None, request: Request
) -> tuple[ProblemRecord, ...]:
    if photo.photo is None:
        return ()
    if face is not None:
        return face_warnings(photo.path, face, request)
    advice = judged_photo(photo.photo, found=photo.found, surface=photo.surface)
    return tuple(
        ProblemRecord(code=each.code, message=each.message) for each in most_harmful_first(advice)
    )


def _stations(
    face: FaceMeasurement, readings: Sequence[ProfileReading]
) -> tuple[StationRecord, ...]:
    """Stations of the first photo, each with the reinforcement of the profile that it lies in."""
    stations = face_stations(face)
    if not stations:
        return section_stations(readings)
    heights = [
        (reading.profile.s_mm, height)
        for reading in readings
        if (height := reading.value(QuantityName.FACE_REINFORCEMENT)) is not None
    ]
    return tuple(_with_height(station, heights) for station in stations)


def _with_height(
    station: StationRecord, heights: Sequence[tuple[float, SectionValue]]
) -> StationRecord:
    """Give a station the nearest of the heights (stations in mm, with their values)."""
    if station.s_mm is None or not heights:
        return station
    at_mm = station.s_mm
    s_mm, height = min(heights, key=lambda each: abs(each[0] - at_mm))
    if abs(s_mm - at_mm) > NEAREST_STATION_MM:
        return station
    return replace(
        station,
        face_reinforcement_mm=float(height.value),
        face_reinforcement_U_mm=float(height.expanded_uncertainty),
    )
