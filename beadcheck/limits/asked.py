"""Limits that nobody's code sets, but the procedure of one joint: entered with the coupon."""

from typing import Final

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.limits.decision import Sense
from beadcheck.limits.limit import Limit, Verified
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.units import Unit

AS_ENTERED: Final = "Root opening that the procedure asks for, as entered with the coupon"


def asked_limits(coupon: Coupon) -> tuple[Limit, ...]:
    """Limits of a fit-up's root opening: its narrowest and its widest place; none if none is set.

    Examples
    --------
    >>> fit_up = Coupon(weld_pass=WeldPass.FIT_UP, root_gap_range_mm=(2.4, 4.0))
    >>> [(each.statistic.value, each.constant) for each in asked_limits(fit_up)]
    [('min', 2.4), ('max', 4.0)]
    """
    if coupon.weld_pass is not WeldPass.FIT_UP or coupon.root_gap_range_mm is None:
        return ()
    least_mm, most_mm = coupon.root_gap_range_mm
    return tuple(
        Limit(
            quantity=QuantityName.ROOT_OPENING,
            statistic=statistic,
            sense=sense,
            unit=Unit.MM,
            constant=bound_mm,
            source=AS_ENTERED,
            verified=Verified.OWN,
        )
        for statistic, sense, bound_mm in (
            (Statistic.MIN, Sense.AT_LEAST, least_mm),
            (Statistic.MAX, Sense.AT_MOST, most_mm),
        )
    )
