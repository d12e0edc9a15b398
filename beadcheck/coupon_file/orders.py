"""From a coupon file to what the library is asked to measure, pass by pass."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from beadcheck.camera import CameraBook
from beadcheck.coupon_file.card import read_procedure
from beadcheck.coupon_file.fill_in import Filled, filled_in
from beadcheck.coupon_file.parts import CouponFile, PassPart, PhotoPart
from beadcheck.coupon_file.read import read_coupon_file
from beadcheck.errors import BeadcheckError
from beadcheck.errors.coupon_file import NothingToMeasureError, PartNotUsableError
from beadcheck.limits import Judging, LengthSystem, limit_sets
from beadcheck.pipeline import Pointer, Request, Take
from beadcheck.toes import HandToes
from beadcheck.toes.hand_csv import read_hand_toes


@dataclass(frozen=True, slots=True, kw_only=True)
class PassOrder:
    """One pass to measure: a request for each take, whose results make one."""

    part: PassPart
    requests: tuple[Request, ...]

    @property
    def photos(self) -> tuple[Path, ...]:
        """Every photo, in the order of the result."""
        return tuple(path for request in self.requests for path in request.photos)


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponOrder:
    """A coupon file, ready to be measured.

    Attributes
    ----------
    text
        The file as it is written.
    passes
        Those that have photos, in the order of the file.
    without_photos
        Names of the others.
    """

    filled: Filled
    text: str
    passes: tuple[PassOrder, ...]
    without_photos: tuple[str, ...]


def coupon_order(path: Path, cameras: CameraBook) -> CouponOrder:
    """Read a coupon file and its procedure card, and make requests of its passes.

    Raises
    ------
    InputFileError
        One of the files is broken.
    """
    said = read_coupon_file(path)
    folder = path.parent
    card = None if said.procedure is None else read_procedure(folder / said.procedure)
    try:
        filled = filled_in(said, card)
    except BeadcheckError as error:
        place = f"{path.name} with its procedure {said.procedure}"
        raise PartNotUsableError(place, error.reason, error.how_to) from error
    coupon = filled.coupon
    passes = tuple(
        _pass_order(each, coupon, path, cameras) for each in coupon.passes if each.photos
    )
    if not passes:
        raise NothingToMeasureError(path.name)
    return CouponOrder(
        filled=filled,
        text=path.read_bytes().decode("utf-8-sig"),
        passes=passes,
        without_photos=tuple(each.name for each in coupon.passes if not each.photos),
    )


def _pass_order(part: PassPart, coupon: CouponFile, path: Path, cameras: CameraBook) -> PassOrder:
    try:
        requests = tuple(
            _request(photo, part, coupon, path.parent, cameras) for photo in part.photos
        )
    except BeadcheckError as error:
        place = f"{path.name}, pass {part.name!r}"
        raise PartNotUsableError(place, error.reason, error.how_to) from error
    return PassOrder(part=part, requests=requests)


def _request(
    photo: PhotoPart, part: PassPart, coupon: CouponFile, folder: Path, cameras: CameraBook
) -> Request:
    photos = tuple(folder / file for file in photo.files)
    ends = photo.along_px
    return Request(
        takes=(Take(kind=photo.kind, photos=photos),),
        coupon=coupon.joint.coupon(part),
        settings=part.settings.arc_settings,
        allowed=part.settings.current_range,
        limits=_limits(coupon.limits, folder),
        judging=Judging(rule=coupon.guard, system=coupon.units or LengthSystem.MM),
        target=None if coupon.target is None or photo.without_target else folder / coupon.target,
        measured_bar_mm=None if photo.without_target else coupon.print_scale_mm,
        along=None if ends is None else Pointer(start_px=ends[0], end_px=ends[1]),
        hand=_hand(photo, photos, folder),
        without_target=photo.without_target,
        step=photo.known_step,
        light_angle=photo.known_angle,
        step_places_px={} if photo.step_at_px is None else {photos[0]: photo.step_at_px},
        clocks_deg={} if photo.clock_deg is None else {photos[0]: photo.clock_deg},
        sectors=coupon.sectors,
        cameras=cameras if coupon.use_camera else CameraBook(),
    )


def _limits(named: str | None, folder: Path) -> str | None:
    return named if named is None or named in limit_sets() else str(folder / named)


def _hand(photo: PhotoPart, photos: tuple[Path, ...], folder: Path) -> Mapping[Path, HandToes]:
    return {} if photo.toes is None else read_hand_toes(folder / photo.toes, photos)
