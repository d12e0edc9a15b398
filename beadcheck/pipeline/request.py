"""What is asked for, and what one photo gives."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from beadcheck.coupon import Coupon
from beadcheck.photo import Photo, PhotoKind
from beadcheck.result import Result
from beadcheck.toes import HandToes


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointer:
    """Where a user says the weld runs, in pixels of the upright photo."""

    start_px: tuple[float, float]
    end_px: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What to measure.

    Attributes
    ----------
    limits
        Name of a shipped limit set, a path to a TOML file, or None for the default of the coupon.
    target
        A target file, or None for beadcheck's own card or strip.
    measured_bar_mm
        Length of the printed check bar as measured with a rule, in mm, or None.
    hand
        Toes that a person placed, by the photo's path.
    without_target
        Whether to do without a target: pixels and ratios only.
    """

    photos: tuple[Path, ...]
    kind: PhotoKind = PhotoKind.FACE
    coupon: Coupon = field(default_factory=Coupon)
    limits: str | None = None
    target: Path | None = None
    measured_bar_mm: float | None = None
    along: Pointer | None = None
    hand: Mapping[Path, HandToes] = field(default_factory=dict)
    without_target: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeasuredPhoto:
    """One photo done: its result alone (its photo index is 0), and its pixels for drawing.

    `photo` is None where the file could not be read.
    """

    path: Path
    photo: Photo | None
    result: Result
