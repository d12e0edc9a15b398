"""The sections across the weld as the page's viewer draws them: rounded, in words of both units."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final

from beadcheck.limits import inch_words
from beadcheck.photo import PhotoKind
from beadcheck.quantity import QuantityName
from beadcheck.report.profile_limits import shows_groove
from beadcheck.report.wording import (
    LengthUnit,
    clock_words,
    quantity_words,
    value_words,
)
from beadcheck.result import ProfileRecord, ReadingRecord, Result
from beadcheck.units import MM_PER_INCH

SECTIONS_FILE: Final = "sections.json"
METHOD_WORDS: Final = {
    PhotoKind.SIDE_ON: "Outline of the pipe",
    PhotoKind.LIGHT_LINE: "Line of light",
    PhotoKind.PAIR: "Pair of photos",
}
OUT_OF_THE_METAL: Final = frozenset(
    {QuantityName.FACE_REINFORCEMENT, QuantityName.ROOT_REINFORCEMENT}
)
INTO_THE_METAL: Final = frozenset(
    {
        QuantityName.UNDERCUT_DEPTH,
        QuantityName.UNDERFILL,
        QuantityName.CONCAVITY,
        QuantityName.DEPTH_BELOW_SURFACE,
    }
)
"""Whose limits are drawn as lines: above the base metal, and below it."""
LINE_WORDS: Final[Mapping[str, str]] = {
    QuantityName.UNDERCUT_DEPTH: "undercut limit",
    QuantityName.UNDERFILL: "underfill limit",
    QuantityName.CONCAVITY: "concavity limit",
    QuantityName.DEPTH_BELOW_SURFACE: "depth limit",
}
"""Short, so that a phone shows the curve between them; above the metal there is but one limit."""
NO_BREAK: Final = "\N{NO-BREAK SPACE}"

Words = dict[str, str]
"""The same words in both units, by the unit's value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit as a line in the plot; `height_mm` is negative below the base metal."""

    height_mm: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section.

    Attributes
    ----------
    picture
        Index into the photos of the result.
    line
        Its two ends in that photo, in pixels; None where it does not show.
    toes_mm
        Places of both toes; None where one was not found.
    marks_mm
        Where the highest point and the undercuts were read.
    """

    at: Words
    s_mm: float
    picture: int
    line: tuple[tuple[float, float], tuple[float, float]] | None
    across_mm: tuple[float, ...]
    height_mm: tuple[float | None, ...]
    u_mm: tuple[float | None, ...]
    toes_mm: tuple[float | None, float | None]
    marks_mm: tuple[float, ...]
    says: tuple[Words, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """The shaded relief of a pair, as a picture of the page.

    Attributes
    ----------
    name
        Last part of its address.
    box_px
        Where the map lies in it: left, top, right, bottom.
    s_range_mm
        Stations at the left and the right edge of the map.
    """

    name: str
    width_px: int
    height_px: int
    box_px: tuple[int, int, int, int]
    s_range_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionGroup:
    """Sections that were measured in one way and follow one another along the weld.

    Attributes
    ----------
    relief
        Of a pair: its relief, in which a section is an upright line.
    """

    title: str
    sections: tuple[Section, ...]
    relief: Relief | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """All sections of a result, with the limits that are drawn in, by the unit that is shown."""

    groups: tuple[SectionGroup, ...]
    limits: dict[str, tuple[LimitLine, ...]]


def write_sections(
    judged: Mapping[LengthUnit, Result], reliefs: Mapping[int, Relief], path: Path
) -> Path:
    """Write what the viewer asks for, and return the path."""
    told = asdict(sections_of(judged, reliefs))
    path.write_text(json.dumps(told, allow_nan=False), "utf-8")
    return path


def sections_of(judged: Mapping[LengthUnit, Result], reliefs: Mapping[int, Relief]) -> Sections:
    """Sections by method; those of one pair stand alone, for they share its stations.

    Parameters
    ----------
    judged
        One result by the limits of either unit.
    reliefs
        By the index of the pair's first photo.
    """
    result = judged[LengthUnit.MM]
    grouped: dict[tuple[str, tuple[int, ...]], list[ProfileRecord]] = {}
    for profile in result.profiles:
        grouped.setdefault((profile.method, profile.photos), []).append(profile)
    return Sections(
        groups=tuple(
            SectionGroup(
                title=_title(method, photos, result),
                sections=tuple(_section(profile, result) for profile in profiles),
                relief=reliefs.get(photos[0]) if photos else None,
            )
            for (method, photos), profiles in grouped.items()
        ),
        limits={unit.value: _limit_lines(judged[unit]) for unit in LengthUnit},
    )


def section_photo(profile: ProfileRecord) -> int:
    """Index of the photo in which a section is shown: of a pair, the first."""
    return profile.photos[0] if profile.photo is None else profile.photo


def _title(method: str, photos: tuple[int, ...], result: Result) -> str:
    words = METHOD_WORDS[PhotoKind(method)]
    names = ", ".join(result.photos[photo].file for photo in photos)
    return f"{words}: {names}" if names else words


def _section(profile: ProfileRecord, result: Result) -> Section:
    photo = section_photo(profile)
    seen = [point for point in profile.points_px if point is not None]
    return Section(
        at={unit.value: _at(profile, photo, result, unit) for unit in LengthUnit},
        s_mm=round(profile.s_mm, 2),
        picture=photo,
        line=(_rounded_point(seen[0]), _rounded_point(seen[-1])) if len(seen) > 1 else None,
        across_mm=tuple(round(place, 3) for place in profile.across_mm),
        height_mm=tuple(_rounded(height) for height in profile.height_mm),
        u_mm=tuple(_rounded(u) for u in profile.U_mm),
        toes_mm=(_rounded(profile.left_toe_across_mm), _rounded(profile.right_toe_across_mm)),
        marks_mm=tuple(
            round(reading.across_mm, 3)
            for reading in profile.readings
            if reading.across_mm is not None
            and (
                reading.name in OUT_OF_THE_METAL
                or (
                    reading.name == QuantityName.UNDERCUT_DEPTH
                    and reading.value > reading.expanded_uncertainty
                )
            )
        ),
        says=tuple(
            {
                unit.value: f"{_reading_words(each)}: "
                + _unbroken(value_words(each.value, each.expanded_uncertainty, each.unit, unit))
                for unit in LengthUnit
            }
            for each in profile.readings
        ),
    )


def _at(profile: ProfileRecord, photo: int, result: Result, unit: LengthUnit) -> str:
    """Where a section lies: along the weld, on the clock, and in which photo of several."""
    words = [f"{profile.s_mm:.1f} mm along the weld"]
    if unit is LengthUnit.INCH:
        words[0] = f"{profile.s_mm:.1f} mm ({profile.s_mm / MM_PER_INCH:.2f} in) along the weld"
    if profile.clock_deg is not None:
        words.append(clock_words(profile.clock_deg))
    if profile.photo is not None:
        words.append(result.photos[photo].file)
    return ", ".join(words)


def _reading_words(reading: ReadingRecord) -> str:
    words = quantity_words(reading.name)
    return words if reading.side is None else f"{words}, {reading.side} toe"


def _unbroken(value: str) -> str:
    """Value that breaks nowhere but before its inches."""
    return value.replace(" ", NO_BREAK).replace(f"{NO_BREAK}(", " (")


def _limit_lines(result: Result) -> tuple[LimitLine, ...]:
    """Limits over the base metal; the concavity of a pass in a groove counts from its own edges."""
    lines: dict[tuple[str, float], LimitLine] = {}
    in_groove = any(shows_groove(profile) for profile in result.profiles)
    for check in result.checks:
        if in_groove and check.name == QuantityName.CONCAVITY:
            continue
        if check.limit is None or check.sense == "at least" or "-" in (check.statistic or ""):
            continue
        sign = 1 if check.name in OUT_OF_THE_METAL else -1
        if check.name in OUT_OF_THE_METAL | INTO_THE_METAL:
            words = f"{check.limit:.2f} mm"
            if check.printed_in == LengthUnit.INCH.value:
                words = inch_words(check.limit / MM_PER_INCH)
            lines[check.name, check.limit] = LimitLine(
                height_mm=sign * check.limit,
                words=f"{LINE_WORDS.get(check.name, 'limit')} {words}",
            )
    return tuple(lines.values())


def _rounded(length_mm: float | None) -> float | None:
    return None if length_mm is None else round(length_mm, 3)


def _rounded_point(point: tuple[float, float]) -> tuple[float, float]:
    return round(point[0], 1), round(point[1], 1)
