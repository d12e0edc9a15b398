"""From the profiles of one take to the records, stations and quantities of the result."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import WeldPass
from beadcheck.errors import BeadcheckError
from beadcheck.measurements.profile import (
    BaseLine,
    ProfileReading,
    SectionValue,
    ToeReading,
    height_names,
    profile_quantities,
    read_profile,
)
from beadcheck.pipeline.places import pixel
from beadcheck.profiles import Profile
from beadcheck.quantity import (
    COVERAGE_FACTOR,
    NotMeasured,
    Quantity,
    QuantityName,
)
from beadcheck.result import (
    BaseLineRecord,
    ProblemRecord,
    ProfileRecord,
    ReadingRecord,
    StationRecord,
    Whose,
)
from beadcheck.result.form import PixelPoint

HEIGHT_DECIMALS: Final = 4
"""0.1 µm: far below any uncertainty here, and half the length of a file of many profiles."""
PIXEL_DECIMALS: Final = 3
NOTHING_READ: Final = "nothing_in_profile"
NO_WELD: Final = "The sections show bare metal, and nothing of a weld."


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """What the profiles of one take say."""

    readings: tuple[ProfileReading, ...]
    quantities: tuple[Quantity, ...]
    not_measured: tuple[NotMeasured, ...]


def read_sections(profiles: Iterable[Profile], weld_pass: WeldPass | None) -> Sections:
    """Read every profile that can be read.

    Raises
    ------
    BeadcheckError
        None of them can.
    """
    readings: list[ProfileReading] = []
    refusals: list[BeadcheckError] = []
    for profile in profiles:
        try:
            readings.append(read_profile(profile, weld_pass=weld_pass))
        except BeadcheckError as refusal:
            refusals.append(refusal)
    if not readings:
        raise refusals[0]
    found = profile_quantities(readings)
    return Sections(
        readings=tuple(readings),
        quantities=tuple(each for each in found if isinstance(each, Quantity)),
        # One reason may hold for both toes: it is said once.
        not_measured=tuple(dict.fromkeys(each for each in found if isinstance(each, NotMeasured))),
    )


def heights_refused(refusal: BeadcheckError, weld_pass: WeldPass | None) -> tuple[NotMeasured, ...]:
    """Everything that a profile gives, not measured for one reason."""
    return tuple(
        NotMeasured(name=name, reason=refusal.reason, how_to=refusal.how_to)
        for name in height_names(weld_pass)
    )


def nothing_read(not_measured: Sequence[NotMeasured]) -> ProblemRecord:
    """Problem of photos whose profiles are fine, but show nothing that can be measured."""
    why = dict.fromkeys(f"{missing.reason} {missing.how_to}" for missing in not_measured)
    return ProblemRecord(code=NOTHING_READ, message=next(iter(why), NO_WELD))


def profile_records(readings: Sequence[ProfileReading], whose: Whose) -> tuple[ProfileRecord, ...]:
    """Every section with its heights, levelled, and what it alone gives."""
    return tuple(_profile_record(reading, whose) for reading in readings)


def _profile_record(reading: ProfileReading, whose: Whose) -> ProfileRecord:
    profile = reading.profile
    left, right = reading.left_toe, reading.right_toe
    return ProfileRecord(
        photo=whose.photo,
        photos=whose.photos,
        method=profile.method.value,
        s_mm=float(profile.s_mm),
        clock_deg=None if profile.clock_deg is None else float(profile.clock_deg),
        across_mm=tuple(np.round(reading.across_mm, HEIGHT_DECIMALS).tolist()),
        height_mm=_with_holes(reading.height_mm, reading.height_mm),
        U_mm=_with_holes(COVERAGE_FACTOR * reading.u_height_mm, reading.height_mm),
        points_px=_points(profile.points_px),
        left_toe_px=None if left is None else pixel(left.px),
        right_toe_px=None if right is None else pixel(right.px),
        left_toe_across_mm=None if left is None else float(left.across_mm),
        right_toe_across_mm=None if right is None else float(right.across_mm),
        left_base=_base_record(reading.left_base),
        right_base=_base_record(reading.right_base),
        above=reading.above,
        readings=tuple(_reading_record(value) for value in reading.values),
    )


def _with_holes(values: NDArray[np.float64], seen: NDArray[np.float64]) -> tuple[float | None, ...]:
    """Values, and None where nothing was seen."""
    known = np.isfinite(values) & np.isfinite(seen)
    rounded = np.round(values, HEIGHT_DECIMALS).tolist()
    return tuple(value if k else None for value, k in zip(rounded, known, strict=True))


def _points(points_px: NDArray[np.float64]) -> tuple[PixelPoint | None, ...]:
    """Pixels of all points, and None where nothing was seen."""
    known = np.isfinite(points_px.sum(axis=1))
    rounded = np.round(points_px, PIXEL_DECIMALS).tolist()
    return tuple((x, y) if k else None for (x, y), k in zip(rounded, known, strict=True))


def _base_record(base: BaseLine) -> BaseLineRecord:
    return BaseLineRecord(
        across_mm=(float(base.from_mm), float(base.to_mm)),
        height_mm=(float(base.at(base.from_mm)), float(base.at(base.to_mm))),
    )


def _reading_record(value: SectionValue) -> ReadingRecord:
    return ReadingRecord(
        name=value.name.value,
        side=None if value.side is None else value.side.value,
        value=float(value.value),
        unit=value.unit.value,
        expanded_uncertainty=float(value.expanded_uncertainty),
        across_mm=None if value.across_mm is None else float(value.across_mm),
    )


def section_stations(readings: Sequence[ProfileReading]) -> tuple[StationRecord, ...]:
    """A station for each profile of one photo in which both toes were found."""
    stations = []
    for reading in readings:
        left, right = reading.left_toe, reading.right_toe
        width = reading.value(QuantityName.WELD_WIDTH)
        if left is not None and right is not None and width is not None:
            stations.append(_station(reading, left, right, width))
    return tuple(stations)


def _station(
    reading: ProfileReading, left: ToeReading, right: ToeReading, width: SectionValue
) -> StationRecord:
    height = reading.value(QuantityName.FACE_REINFORCEMENT)
    return StationRecord(
        photo=0,
        s_mm=float(reading.profile.s_mm),
        clock_deg=reading.profile.clock_deg,
        left_toe_px=pixel(left.px),
        right_toe_px=pixel(right.px),
        weld_width_mm=float(width.value),
        weld_width_U_mm=float(width.expanded_uncertainty),
        sure=True,
        steady=True,
        face_reinforcement_mm=None if height is None else float(height.value),
        face_reinforcement_U_mm=None if height is None else float(height.expanded_uncertainty),
    )
