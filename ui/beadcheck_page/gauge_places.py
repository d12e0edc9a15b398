"""Places along a measured weld where a hand gauge can be laid on beside the photo's value."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypeVar

import numpy as np

from beadcheck.quantity import QuantityName
from beadcheck.result import ProfileRecord, Result

PLACES: Final = 6
"""Of each photo: as many as can be found again by eye, and enough for limits of agreement."""

Spread = TypeVar("Spread")
Line = tuple[tuple[float, float], tuple[float, float]]
"""Two points of the upright photo, in pixels."""


class Compared(StrEnum):
    """What photo and gauge both read."""

    WIDTH = "width"
    REINFORCEMENT = "reinforcement"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place.

    Attributes
    ----------
    photo
        Index into the photos of the result; the first one of a pair.
    number
        By which it is called in that photo, from 1.
    line
        Across the weld; None where it does not show.
    """

    photo: int
    number: int
    line: Line | None
    value_mm: float
    expanded_mm: float

    @property
    def key(self) -> str:
        """By which the page calls it."""
        return f"{self.photo}-{self.number}"


def places_of(result: Result, compared: Compared) -> tuple[Place, ...]:
    """Places spread evenly over what each photo showed surely, in the order along the weld."""
    if compared is Compared.WIDTH:
        return _widths(result)
    return _reinforcements(result)


def _widths(result: Result) -> tuple[Place, ...]:
    found: list[Place] = []
    for photo in range(len(result.photos)):
        sure = [
            each
            for each in result.stations
            if each.photo == photo and each.sure and each.steady and each.weld_width_mm is not None
        ]
        for number, each in enumerate(_spread(sure), start=1):
            found.append(
                Place(
                    photo=photo,
                    number=number,
                    line=(each.left_toe_px, each.right_toe_px),
                    value_mm=each.weld_width_mm or 0.0,
                    expanded_mm=each.weld_width_U_mm or 0.0,
                )
            )
    return tuple(found)


def _reinforcements(result: Result) -> tuple[Place, ...]:
    name = QuantityName.FACE_REINFORCEMENT.value
    found: list[Place] = []
    for photo in range(len(result.photos)):
        profiles = [
            (profile, reading)
            for profile in result.profiles
            for reading in profile.readings
            if reading.name == name and photo == _photo_of(profile)
        ]
        for number, (profile, reading) in enumerate(_spread(profiles), start=1):
            found.append(
                Place(
                    photo=photo,
                    number=number,
                    line=_line_of(profile),
                    value_mm=reading.value,
                    expanded_mm=reading.expanded_uncertainty,
                )
            )
    return tuple(found)


def _photo_of(profile: ProfileRecord) -> int | None:
    return next(iter(profile.photos), None) if profile.photo is None else profile.photo


def _line_of(profile: ProfileRecord) -> Line | None:
    seen = [point for point in profile.points_px if point is not None]
    return (seen[0], seen[-1]) if len(seen) > 1 else None


def _spread(records: Sequence[Spread]) -> list[Spread]:
    """Return at most `PLACES` of them, each in the middle of its share."""
    count = min(PLACES, len(records))
    if not count:
        return []
    middles = (np.arange(count) + 0.5) * len(records) / count
    return [records[int(at)] for at in middles]
