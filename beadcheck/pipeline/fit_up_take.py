"""A photo of the joint before it is welded, as a take: root opening and tacks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.errors import BeadcheckError
from beadcheck.fit_up import Opening, found_opening, joint_depths
from beadcheck.fit_up.find import at_foot
from beadcheck.fit_up.locate import located_opening, opening_along
from beadcheck.measurements.root_opening import LAND_UNSEEN, opening_quantities, shared_effects
from beadcheck.photo import Photo, read_photo
from beadcheck.photo_advice import judged_photo, most_harmful_first, refusal_as_advice
from beadcheck.pipeline.outcome import Measured, Outcome, Reading, photo_record, problem_of
from beadcheck.pipeline.request import MeasuredPhoto, Request, Take
from beadcheck.pipeline.solved import solved_surface
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    NotMeasured,
    Quantity,
    QuantityName,
    combined_standard_uncertainty,
)
from beadcheck.result import OpeningRecord, ProblemRecord, TackRecord, Whose
from beadcheck.surface import SolvedSurface, SunkenSurface
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget, find_target
from beadcheck.uncertainty import ScaleEffects, scale_between

NO_WALL: Final = ProblemRecord(
    code="fit_up_depth_not_known",
    message=(
        "The thickness of the wall was not entered, so nobody knows how deep the root opening "
        "lies; U holds any depth down to 20 mm. Enter the wall, and the root face too, for a "
        "smaller U."
    ),
)
MISALIGNMENT_UNSEEN: Final = NotMeasured(
    name=QuantityName.LINEAR_MISALIGNMENT,
    reason="A photo from above does not show height.",
    how_to="Take a light-line photo across the joint too, or measure the step with a gauge.",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenJoint:
    """What was solved and found of a joint before a refusal, or all of it."""

    refusal: BeadcheckError | None = None
    found: FoundTarget | None = None
    surface: SolvedSurface | None = None
    below: SunkenSurface | None = None
    opening: Opening | None = None


def fit_up_take(take: Take, request: Request, designs: Sequence[TargetDesign]) -> Measured:
    """Measure the opening in one photo; its refusal becomes a problem of it."""
    (path,) = take.photos
    photo: Photo | None = None
    try:
        photo = read_photo(path)
    except BeadcheckError as refusal:
        joint = OpenJoint(refusal=refusal)
    else:
        joint = open_joint(photo, request, designs)
    quantities, openings, tacks = told_of(joint)
    record = photo_record(
        path.name,
        take.kind,
        usable=joint.refusal is None,
        problems=_problems(photo, joint, request),
        found=joint.found,
        surface=joint.surface,
    )
    reading = Reading(
        whose=Whose.one(0), quantities=quantities, not_measured=_not_measured(joint.refusal)
    )
    outcome = Outcome(photos=(record,), readings=(reading,), openings=openings, tacks=tacks)
    return Measured(photos=(MeasuredPhoto(path=path, photo=photo),), outcome=outcome)


def told_of(
    joint: OpenJoint,
) -> tuple[tuple[Quantity, ...], tuple[OpeningRecord, ...], tuple[TackRecord, ...]]:
    """What an open joint gives; nothing where it was refused."""
    if joint.below is None or joint.opening is None:
        return (), (), ()
    used = joint.opening.sure
    scale = scale_between(joint.below, joint.opening.left_mm[used], joint.opening.right_mm[used])
    return (
        tuple(scale.applied_to(q) for q in opening_quantities(joint.opening)),
        _opening_records(joint.opening, joint.below, scale),
        _tack_records(joint.opening, joint.below, scale),
    )


def open_joint(photo: Photo, request: Request, designs: Sequence[TargetDesign]) -> OpenJoint:
    """Solve the surface of a photo, and find the joint's opening below it."""
    found: FoundTarget | None = None
    surface: SolvedSurface | None = None
    depths = joint_depths(request.coupon)
    try:
        found = find_target(photo, designs)
        surface = solved_surface(found, photo, request)
        foot = at_foot(surface, depths)
        rough = (
            located_opening(photo, foot)
            if request.along is None
            else opening_along(foot, request.along.start_px, request.along.end_px)
        )
        below, opening = found_opening(photo, surface, depths, rough)
    except BeadcheckError as refusal:
        return OpenJoint(refusal=refusal, found=found, surface=surface)
    return OpenJoint(found=found, surface=surface, below=below, opening=opening)


def _problems(photo: Photo | None, joint: OpenJoint, request: Request) -> tuple[ProblemRecord, ...]:
    """Refusal first, then what made the photo worse to measure from."""
    refusals = () if joint.refusal is None else (problem_of(joint.refusal),)
    if photo is None:
        return refusals
    refused = () if joint.refusal is None else (refusal_as_advice(joint.refusal),)
    advice = judged_photo(photo, found=joint.found, surface=joint.surface, weld=None)
    told = [
        ProblemRecord(code=each.code, message=each.message)
        for each in most_harmful_first([*advice, *refused])
        if each not in refused
    ]
    if joint.opening is not None and request.coupon.wall_thickness_mm is None:
        told.append(NO_WALL)
    return (*refusals, *told)


def _not_measured(refusal: BeadcheckError | None) -> tuple[NotMeasured, ...]:
    missing: tuple[NotMeasured, ...] = (LAND_UNSEEN, MISALIGNMENT_UNSEEN)
    if refusal is None:
        return missing
    opening = NotMeasured(
        name=QuantityName.ROOT_OPENING, reason=refusal.reason, how_to=refusal.how_to
    )
    return (opening, *missing)


def _opening_records(
    opening: Opening, below: SunkenSurface, scale: ScaleEffects
) -> tuple[OpeningRecord, ...]:
    """Every station that no tack fills."""
    shared_u = combined_standard_uncertainty(shared_effects(opening))
    scale_u = combined_standard_uncertainty(scale.across)
    expanded = COVERAGE_FACTOR * np.sqrt(
        opening.u_left_mm**2
        + opening.u_right_mm**2
        + shared_u**2
        + (scale_u * opening.opening_mm) ** 2
    )
    clock = below.clock_deg(opening.middle_mm)
    closed = [tack.s_range_mm for tack in opening.tacks]
    return tuple(
        OpeningRecord(
            photo=0,
            s_mm=float(opening.s_mm[i]),
            clock_deg=float(clock[i]) if np.isfinite(clock[i]) else None,
            left_px=(float(opening.left_px[i, 0]), float(opening.left_px[i, 1])),
            right_px=(float(opening.right_px[i, 0]), float(opening.right_px[i, 1])),
            opening_mm=float(opening.opening_mm[i]),
            opening_U_mm=float(expanded[i]),
            sure=bool(opening.sure[i]),
        )
        for i in range(opening.s_mm.size)
        if not any(first <= opening.s_mm[i] <= last for first, last in closed)
        and np.isfinite(opening.opening_mm[i])
        and np.isfinite(opening.left_px[i] + opening.right_px[i]).all()
    )


def _tack_records(
    opening: Opening, below: SunkenSurface, scale: ScaleEffects
) -> tuple[TackRecord, ...]:
    """Tacks with their lengths on the surface, and the clock position of their middles."""
    relative_u = combined_standard_uncertainty(scale.along)
    sure_s, sure_mm = opening.s_mm[opening.sure], opening.middle_mm[opening.sure]
    records = []
    for tack in opening.tacks:
        s_mm = 0.5 * (tack.s_range_mm[0] + tack.s_range_mm[1])
        middle = np.array([[np.interp(s_mm, sure_s, sure_mm[:, axis]) for axis in (0, 1)]])
        clock = float(below.clock_deg(middle)[0])
        u_mm = np.hypot(np.sqrt(2.0) * tack.u_end_mm, relative_u * tack.length_mm)
        records.append(
            TackRecord(
                photo=0,
                s_range_mm=tack.s_range_mm,
                clock_deg=clock if np.isfinite(clock) else None,
                length_mm=tack.length_mm,
                length_U_mm=COVERAGE_FACTOR * float(u_mm),
            )
        )
    return tuple(records)
