"""A side-on or a light-line photo as a take: its profiles, and what they say."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from beadcheck.errors import BeadcheckError, BeadError
from beadcheck.photo import Photo, PhotoKind, read_photo
from beadcheck.photo_advice import judged_section
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
from beadcheck.profiles import Profile
from beadcheck.profiles.light_line import light_line_profiles
from beadcheck.profiles.side_on import side_on_profile
from beadcheck.result import ProblemRecord, Whose
from beadcheck.surface import SolvedSurface
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget, find_target
from beadcheck.toes import LocatedWeld


def section_take(take: Take, request: Request, designs: Sequence[TargetDesign]) -> Measured:
    """Measure one photo that shows sections; its refusal becomes a problem of it."""
    (path,) = take.photos
    photo: Photo | None = None
    found: FoundTarget | None = None
    surface: SolvedSurface | None = None
    sections: Sections | None = None
    problems: list[ProblemRecord] = []
    weld_pass = request.coupon.weld_pass
    try:
        photo = read_photo(path)
        found = find_target(photo, designs)
        surface = solved_surface(found, photo, request)
        profiles = section_profiles(photo, surface, request, take.kind, path)
        sections = read_sections(profiles, weld_pass)
    except BeadcheckError as refusal:
        problems.append(problem_of(refusal))
        reading = Reading(whose=Whose.one(0), not_measured=heights_refused(refusal, weld_pass))
    else:
        reading = Reading(
            whose=Whose.one(0),
            quantities=sections.quantities,
            not_measured=sections.not_measured,
        )
    if photo is not None:
        problems += [
            ProblemRecord(code=each.code, message=each.message)
            for each in judged_section(photo, found=found, surface=surface)
            if each.code not in {problem.code for problem in problems}
        ]
    if sections is not None and not sections.quantities:
        problems.append(nothing_read(sections.not_measured))
    readings = () if sections is None else sections.readings
    record = photo_record(
        path.name,
        take.kind,
        usable=bool(reading.quantities),
        problems=problems,
        found=found,
        surface=surface,
    )
    outcome = Outcome(
        photos=(record,),
        readings=(reading,),
        stations=section_stations(readings),
        profiles=profile_records(readings, Whose.one(0)),
    )
    return Measured(photos=(MeasuredPhoto(path=path, photo=photo),), outcome=outcome)


def section_profiles(
    photo: Photo, surface: SolvedSurface, request: Request, kind: PhotoKind, path: Path
) -> tuple[Profile, ...]:
    """Return every profile that a side-on or a light-line photo shows.

    Raises
    ------
    BeadcheckError
        It shows none.
    """
    if kind is PhotoKind.SIDE_ON:
        return (side_on_profile(photo, surface),)
    return light_line_profiles(
        photo, surface, request.light_in(path), weld=_weld(photo, surface, request)
    )


def _weld(photo: Photo, surface: SolvedSurface, request: Request) -> LocatedWeld | None:
    """Return the weld that was pointed at or found; a photo for its line of light may hide it."""
    # Ends that were pointed at in one photo say nothing of another.
    mine = request if len(request.photos) == 1 else replace(request, along=None)
    try:
        return located_weld(photo, surface, mine)
    except BeadError:
        return None
