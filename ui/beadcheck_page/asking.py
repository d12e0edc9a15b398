"""Which heights the limits ask for and no photo has shown yet, and which photo would."""

from enum import StrEnum

from beadcheck.coupon import Shape, WeldPass
from beadcheck.limits import Finding
from beadcheck.measurements.profile import lies_in_groove
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.coupon_values import HEIGHTS
from beadcheck.result import Result
from beadcheck_page.orders import Outcome


class Way(StrEnum):
    """A way to take the further photo; the values are the photo kinds of the result format."""

    SIDE_ON = PhotoKind.SIDE_ON.value
    LIGHT_LINE = PhotoKind.LIGHT_LINE.value
    PAIR = PhotoKind.PAIR.value


def missing_heights(outcome: Outcome | None) -> tuple[str, ...]:
    """Names of the heights that a limit asks for and that no photo of the coupon gave.

    Empty where no photo could be measured: then there is something else to mend first; and where no
    photo could show them.
    """
    if outcome is None or not any(photo.usable for photo in outcome.result.photos):
        return ()
    if not ways(outcome.result):
        return ()
    checks = [check for check in outcome.result.checks if check.name in HEIGHTS]
    found = {check.name for check in checks if check.finding is not Finding.NOT_MEASURED}
    return tuple(dict.fromkeys(check.name for check in checks if check.name not in found))


def ways(result: Result) -> tuple[Way, ...]:
    """Ways that fit the coupon, the surest first.

    An outline needs a pipe, seen from its outside; in a groove only a line of light shows heights,
    and inside a pipe none of them.
    """
    coupon = result.coupon
    if coupon.shape == Shape.PIPE and coupon.weld_pass == WeldPass.ROOT_SIDE:
        return ()
    if coupon.weld_pass is not None and lies_in_groove(WeldPass(coupon.weld_pass)):
        return (Way.LIGHT_LINE,)
    outlined = coupon.shape == Shape.PIPE
    return tuple(way for way in Way if outlined or way is not Way.SIDE_ON)
