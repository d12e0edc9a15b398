"""Names of people, coupons and passes: what may be one, and when two are the same."""

import unicodedata
from datetime import datetime
from typing import Final

from beadcheck.coupon import Coupon, run_name
from beadcheck.errors.log import NameNotUsableError
from beadcheck.result import CouponRecord

LONGEST_NAME: Final = 80
UNNAMED_RUN: Final = "pass not said"
"""Name of a pass of which nothing was said."""


def name_of(text: str, what: str) -> str:
    """Name without spaces around it.

    Parameters
    ----------
    what
        What a refusal calls the thing, such as "person".

    Raises
    ------
    NameNotUsableError
    """
    name = " ".join(text.split())
    if not name or not name.isprintable() or len(key_of(name)) > LONGEST_NAME:
        raise NameNotUsableError(text[:LONGEST_NAME], what, LONGEST_NAME)
    return name


def key_of(name: str) -> str:
    """Name as it is compared: capitals, width of letters and spaces do not matter, zeros do.

    Examples
    --------
    >>> key_of("  Harrow  QUAY ")
    'harrow quay'
    >>> key_of("007")
    '007'
    """
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def run_called(coupon: Coupon | CouponRecord) -> str:
    """Name of a pass that nobody named: by pass, layer and bead, so that no two are taken for one.

    Examples
    --------
    >>> run_called(Coupon()), run_called(Coupon(layer=2))
    ('pass not said', 'layer 2')
    """
    return run_name(coupon.weld_pass, coupon.layer, coupon.bead) or UNNAMED_RUN


def coupon_of_now(now: datetime) -> str:
    """Name of a coupon that nobody named: the day and the time, so that no two are taken for one.

    Examples
    --------
    >>> coupon_of_now(datetime(2026, 5, 17, 9, 5, 31))
    '2026-05-17 09:05:31'
    """
    return f"{now:%Y-%m-%d %H:%M:%S}"
