"""From an order to what the library is asked for, take by take."""

from beadcheck.camera.book import CameraBook
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request, Take
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Order
from beadcheck_page.takes import PageTake, use_of
from beadcheck_page.uses import Use, known_step, light_reference, step_place_px


def require_measurable(order: Order) -> None:
    """Refuse an order before it is queued.

    Raises
    ------
    BeadcheckError
        Something that a photo's kind calls for was not entered, or cannot be had.
    """
    for take in order.takes:
        take_request(take, order)


def take_request(take: PageTake, order: Order) -> Request:
    """What one take of an order is measured with.

    Raises
    ------
    BeadcheckError
        Something that its kind calls for was not entered, or cannot be had.
    """
    first = take.photos[0]
    hand = order.hand.get(first.key)
    # A photo that was measured without a target may become the first view of a pair.
    bare = take.kind is PhotoKind.FACE and first.key in order.bare
    clock_deg = use_of(first, order.uses).clock_deg
    without_target = order.settings.without_target or bare
    step, light_angle, place_px = take_reference(take, order)
    return Request(
        takes=(Take(kind=take.kind, photos=tuple(photo.path for photo in take.photos)),),
        coupon=order.settings.coupon,
        settings=order.settings.arc,
        allowed=order.settings.allowed,
        limits=order.settings.limits,
        judging=order.settings.judging,
        measured_bar_mm=None if without_target else order.settings.measured_bar_mm,
        along=order.pointers.get(first.key),
        hand={first.path: hand} if hand is not None else {},
        without_target=without_target,
        step=step,
        light_angle=light_angle,
        step_places_px={} if place_px is None else {first.path: place_px},
        clocks_deg={} if clock_deg is None else {first.path: clock_deg},
        sectors=order.settings.sectors,
        cameras=_cameras(take) if order.settings.calibrated else CameraBook(),
    )


def _cameras(take: PageTake) -> CameraBook:
    """Stored cameras that took the photos of a take."""
    known = [photo.calibration for photo in take.photos if photo.calibration is not None]
    return CameraBook(cameras=tuple(dict.fromkeys(known)))


def take_reference(
    take: PageTake, order: Order
) -> tuple[KnownStep | None, LightAngle | None, tuple[float, float] | None]:
    """Step or angle that gives heights their scale, and the step's place in the first photo.

    Raises
    ------
    BeadcheckError
        Its kind calls for one, and neither was entered.
    """
    first = take.photos[0]
    if take.kind is PhotoKind.LIGHT_LINE:
        use = use_of(first, order.uses)
        reference = light_reference(use, first)
        if isinstance(reference, LightAngle):
            return None, reference, None
        return reference, None, step_place_px(use, first)
    if take.kind is PhotoKind.PAIR:
        use = _second_use(take.photos[1:], order)
        return known_step(use), None, step_place_px(use, first)
    return None, None, None


def _second_use(views: tuple[StoredPhoto, ...], order: Order) -> Use:
    """What was said of the second view; of several, of one under which a step was entered."""
    uses = [use_of(photo, order.uses) for photo in views]
    return next((use for use in uses if use.step_mm is not None), uses[0])
