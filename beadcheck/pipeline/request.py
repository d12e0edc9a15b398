"""What is asked for, and what each take gives."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from beadcheck.advice import CurrentRange
from beadcheck.arc import ArcSettings
from beadcheck.camera import CameraBook
from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.errors.bore import OnlyFromAboveInBoreError
from beadcheck.errors.groove import FitUpNeedsTargetError
from beadcheck.errors.profile_side_on import SideOnOfPlateError
from beadcheck.errors.take import (
    HeightsNeedTargetError,
    LightNeedsReferenceError,
    PairNeedsTwoError,
)
from beadcheck.limits import Judging
from beadcheck.photo import Photo, PhotoKind
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle, LightReference
from beadcheck.profiles.pair import HeightMap
from beadcheck.result import Result
from beadcheck.toes import HandToes


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointer:
    """Where a user says the weld runs, in pixels of the upright photo."""

    start_px: tuple[float, float]
    end_px: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownTack:
    """A tack that the fit-up of a pipe showed: the clock position of its middle, and its length."""

    clock_deg: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """Photos that are measured together: one, or the two and more of a pair.

    Raises
    ------
    PairNeedsTwoError
    """

    kind: PhotoKind = PhotoKind.FACE
    photos: tuple[Path, ...]

    def __post_init__(self) -> None:
        if self.kind is PhotoKind.PAIR:
            if len(self.photos) < 2:
                raise PairNeedsTwoError(len(self.photos))
        elif len(self.photos) != 1:
            msg = f"a take of the kind {self.kind} is one photo"
            raise ValueError(msg)


def takes_of(photos: Iterable[Path], kind: PhotoKind = PhotoKind.FACE) -> tuple[Take, ...]:
    """Return a take for each photo; for the kind pair, one take of all of them."""
    if kind is PhotoKind.PAIR:
        return (Take(kind=kind, photos=tuple(photos)),)
    return tuple(Take(kind=kind, photos=(photo,)) for photo in photos)


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What to measure: the takes of one coupon.

    Attributes
    ----------
    settings
        What the welder says of arc and run. Process and pulse times are those of the coupon.
    allowed
        Currents that the procedure or the electrode allows; advice never leaves them.
    limits
        Name of a shipped limit set, a path to a TOML file, or None for the default of the coupon.
    judging
        With which guard band, and by which of the numbers that a source prints in mm and inches.
    target
        A target file, or None for beadcheck's own card or strip.
    measured_bar_mm
        Length of the printed check bar as measured with a rule, in mm, or None.
    hand
        Toes that a person placed, by the photo's path.
    without_target
        Whether to do without a target: pixels and ratios only, of face photos.
    step, light_angle
        What the heights of light-line photos are scaled by: the step, where both are given. A pair
        takes the step too, and does without where there is none.
    step_places_px
        Where a person says the step lies, in a photo's own pixels, by its path.
    clocks_deg
        Clock positions that somebody entered for photos, by path.
    sectors
        In how many sectors of the clock, or stretches of a plate, the whole weld is told; None
        takes the usual number.
    tacks
        Tacks that the fit-up showed, for the passes over them.
    cameras
        Calibrated cameras, used for the photos that come from them.

    Raises
    ------
    SettingError
        A take cannot be measured on such a coupon, or with nothing to scale it by.
    """

    takes: tuple[Take, ...]
    coupon: Coupon = field(default_factory=Coupon)
    settings: ArcSettings = field(default_factory=ArcSettings)
    allowed: CurrentRange | None = None
    limits: str | None = None
    judging: Judging = field(default_factory=Judging)
    target: Path | None = None
    measured_bar_mm: float | None = None
    along: Pointer | None = None
    hand: Mapping[Path, HandToes] = field(default_factory=dict)
    without_target: bool = False
    step: KnownStep | None = None
    light_angle: LightAngle | None = None
    step_places_px: Mapping[Path, tuple[float, float]] = field(default_factory=dict)
    clocks_deg: Mapping[Path, float] = field(default_factory=dict)
    sectors: int | None = None
    tacks: tuple[KnownTack, ...] = ()
    cameras: CameraBook = field(default_factory=CameraBook)

    def __post_init__(self) -> None:
        if not self.without_target:
            _ = self.coupon.strip_diameter_mm  # a bore that is not known is told before anything
        if self.without_target and self.coupon.weld_pass is WeldPass.FIT_UP:
            raise FitUpNeedsTargetError
        for kind in dict.fromkeys(take.kind for take in self.takes):
            if kind is not PhotoKind.FACE and self.without_target:
                raise HeightsNeedTargetError(kind.value)
            if kind is not PhotoKind.FACE and self.coupon.seen_from_inside:
                raise OnlyFromAboveInBoreError(kind.value)
            if kind is PhotoKind.SIDE_ON and self.coupon.shape is not Shape.PIPE:
                raise SideOnOfPlateError
            if kind is PhotoKind.LIGHT_LINE and self.step is None and self.light_angle is None:
                raise LightNeedsReferenceError

    @property
    def arc(self) -> ArcSettings:
        """Settings of the pass, with its process and its pulse times."""
        return self.settings.of_coupon(self.coupon)

    @property
    def photos(self) -> tuple[Path, ...]:
        """Every photo, in the order of the result."""
        return tuple(photo for take in self.takes for photo in take.photos)

    def step_in(self, photo: Path) -> KnownStep | None:
        """Known step as it lies in one photo."""
        if self.step is None:
            return None
        return replace(self.step, place_px=self.step_places_px.get(photo, self.step.place_px))

    def light_in(self, photo: Path) -> LightReference:
        """What scales the heights along the line of light in one photo.

        Raises
        ------
        LightNeedsReferenceError
        """
        light = self.step_in(photo) or self.light_angle
        if light is None:
            raise LightNeedsReferenceError
        return light


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeasuredPhoto:
    """The pixels of one photo, for drawing; None where the file could not be read."""

    path: Path
    photo: Photo | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeasuredTake:
    """One take done: its photos, and its result alone, whose photo indices count from 0.

    A pair has its height map too, unless it was refused.
    """

    take: Take
    photos: tuple[MeasuredPhoto, ...]
    result: Result
    height_map: HeightMap | None = None
