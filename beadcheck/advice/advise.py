"""Advice on one take."""

from collections.abc import Iterable

from beadcheck.advice.choose import chosen
from beadcheck.advice.piece import Advice
from beadcheck.advice.seen import sightings
from beadcheck.advice.situation import CurrentRange, LookedAt, Place, Situation
from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon
from beadcheck.limits import Check
from beadcheck.quantity import Quantity


def advise(
    quantities: Iterable[Quantity],
    checks: Iterable[Check],
    *,
    coupon: Coupon,
    settings: ArcSettings | None = None,
    allowed: CurrentRange | None = None,
    looked_at: Iterable[LookedAt] = (),
    places: Iterable[Place] = (),
) -> tuple[Advice, ...]:
    """Give at most three pieces of advice, the most urgent first, none undoing another.

    Change one thing, weld again, measure again: so the first is the one to try.

    Parameters
    ----------
    settings
        What the welder says of the arc and the run; without it, advice says what it would need.
    allowed
        Currents that the procedure or the electrode allows.
    looked_at
        Places that the photo shows as worth a look.
    places
        Where greatest and least values were read.
    """
    situation = Situation(
        quantities=tuple(quantities),
        checks=tuple(checks),
        coupon=coupon,
        settings=settings or ArcSettings(),
        allowed=allowed,
        looked_at=tuple(looked_at),
        places=tuple(places),
    )
    return chosen(sightings(situation), situation)
