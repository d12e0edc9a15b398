"""From the flags that name photos of several kinds, and what scales their heights, to values."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from beadcheck.cli.photos import named_photos, photo_paths
from beadcheck.errors.command import (
    BadFlagValueError,
    ConflictingFlagsError,
    FlagNeedsFlagError,
    PhotoTwiceError,
)

KindWord = Literal["face", "side-on", "light-line", "pair"]
PixelPoint = tuple[float, float]
"""x and y in the upright photo, px."""

SCALED_BY_STEP: Final = ("light-line", "pair")


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbered:
    """A value that was typed with its expanded uncertainty (k = 2), or without one."""

    value: float
    expanded_uncertainty: float | None


def photos_by_kind(
    positional: Sequence[Path],
    kind: KindWord,
    *,
    side_on: Sequence[Path],
    light_line: Sequence[Path],
    pair: Sequence[Path],
) -> tuple[tuple[KindWord, tuple[Path, ...]], ...]:
    """Every photo under the kind that it was named for, in the order of the result.

    Raises
    ------
    NoPhotoGivenError, NoSuchFileError, NoPhotoInFolderError, PhotoTwiceError
    """
    extra: tuple[tuple[KindWord, Sequence[Path]], ...] = (
        ("side-on", side_on),
        ("light-line", light_line),
        ("pair", pair),
    )
    groups: list[tuple[KindWord, tuple[Path, ...]]] = []
    if positional or not any(paths for _, paths in extra):
        groups.append((kind, photo_paths(positional)))
    groups += [(word, named_photos(paths)) for word, paths in extra if paths]
    seen: set[Path] = set()
    for _, paths in groups:
        for path in paths:
            if path in seen:
                raise PhotoTwiceError(str(path))
            seen.add(path)
    return tuple(groups)


def refuse_useless_references(
    groups: Sequence[tuple[KindWord, tuple[Path, ...]]],
    *,
    step: str | None,
    step_at: Sequence[str],
    light_angle: str | None,
) -> None:
    """Refuse a step or an angle that no photo can use, or that contradict each other.

    Raises
    ------
    ConflictingFlagsError, FlagNeedsFlagError
    """
    kinds = {kind for kind, _ in groups}
    if step is not None and light_angle is not None:
        raise ConflictingFlagsError("--step", "--light-angle", "either one scales the heights")
    if step is not None and not kinds.intersection(SCALED_BY_STEP):
        raise FlagNeedsFlagError("--step", "a light-line photo or a pair")
    if light_angle is not None and "light-line" not in kinds:
        raise FlagNeedsFlagError("--light-angle", "a light-line photo")
    if step_at and step is None:
        raise FlagNeedsFlagError("--step-at", "--step")


def number_and_uncertainty(flag: str, text: str, *, example: str) -> Numbered:
    """Read a number, or a number and its U after a comma.

    Raises
    ------
    BadFlagValueError
        It is neither.
    """
    parts = [_number(part) for part in text.split(",")]
    if len(parts) > 2 or not all(math.isfinite(part) for part in parts):
        raise BadFlagValueError(flag, text, f"Give a number, or with its U, as in: {example}")
    uncertainty = parts[1] if len(parts) == 2 else None
    if uncertainty is not None and uncertainty <= 0.0:
        raise BadFlagValueError(flag, text, f"Let U be above 0, as in: {example}")
    return Numbered(value=parts[0], expanded_uncertainty=uncertainty)


def step_places(
    step_at: Sequence[str], groups: Sequence[tuple[KindWord, tuple[Path, ...]]]
) -> dict[Path, PixelPoint]:
    """Where the step lies in which photo: ``x,y``, or ``FILE=x,y`` where there are several.

    Raises
    ------
    BadFlagValueError
        No two numbers, or no photo of that name.
    """
    able = [
        path
        for kind, paths in groups
        if kind in SCALED_BY_STEP
        for path in (paths[:1] if kind == "pair" else paths)
    ]
    places = {}
    for text in step_at:
        name, equals, point = text.rpartition("=")
        named = [path for path in able if not equals or name in (path.name, str(path))]
        if len(named) != 1:
            names = ", ".join(path.name for path in able)
            mend = f"Say in which photo it lies ({names}), as in: --step-at {able[0].name}=1200,840"
            raise BadFlagValueError("--step-at", text, mend)
        x, y = ([_number(part) for part in point.split(",")] + [math.nan, math.nan])[:2]
        if point.count(",") != 1 or not (math.isfinite(x) and math.isfinite(y)):
            raise BadFlagValueError(
                "--step-at", text, "Give a point in pixels, as in: --step-at 1200,840"
            )
        places[named[0]] = (x, y)
    return places


def entered_clocks(
    clock: Sequence[str], groups: Sequence[tuple[KindWord, tuple[Path, ...]]]
) -> dict[Path, float]:
    """Clock positions that were typed for photos: ``DEG``, or ``FILE=DEG`` where there are several.

    Raises
    ------
    BadFlagValueError
        No angle of a clock, or no photo of that name.
    """
    photos = [path for _, paths in groups for path in paths]
    clocks = {}
    for text in clock:
        name, equals, angle = text.rpartition("=")
        named = [path for path in photos if not equals or name in (path.name, str(path))]
        if len(named) != 1:
            names = ", ".join(path.name for path in photos)
            mend = f"Say which photo it is of ({names}), as in: --clock {photos[0].name}=90"
            raise BadFlagValueError("--clock", text, mend)
        degrees = _number(angle)
        if not 0.0 <= degrees <= 360.0:
            raise BadFlagValueError(
                "--clock", text, "Give degrees from 12 o'clock, 0 to 360, as in: --clock 90"
            )
        clocks[named[0]] = degrees % 360.0
    return clocks


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan
