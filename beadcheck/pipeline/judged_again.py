"""The quantities of a finished take, compared with limits once more."""

from collections.abc import Iterable
from dataclasses import replace

from beadcheck.coupon import Coupon
from beadcheck.limits import Judging, LimitSet, check, default_limit_set, load_limit_set
from beadcheck.quantity import Quantity
from beadcheck.result import (
    NotMeasuredRecord,
    QuantityRecord,
    Result,
    Whose,
    check_records,
    not_measured_of,
    quantity_of,
)


def all_judged_again(
    takes: Iterable[Result], *, coupon: Coupon, limits: str | None, judging: Judging
) -> list[Result]:
    """Return the results of single takes as if they had been judged in another way.

    Raises
    ------
    InputFileError
        The limit file is broken.
    """
    limit_set = load_limit_set(limits or default_limit_set(coupon), judging)
    return [judged_again(take, coupon, limit_set) for take in takes]


def judged_again(
    take: Result, coupon: Coupon, limit_set: LimitSet, *, width: Quantity | None = None
) -> Result:
    """Return the result of one take with its quantities compared anew.

    Parameters
    ----------
    width
        Weld width of the coupon, for the limits that depend on it; None takes the take's own.
    """
    without_target = all(photo.without_target for photo in take.photos)
    checks = check(
        map(quantity_of, take.quantities),
        map(not_measured_of, take.not_measured),
        limit_set=limit_set.without_lengths if without_target else limit_set,
        coupon=coupon,
        width=width,
    )
    whose: dict[str, Whose] = {}
    records: tuple[QuantityRecord | NotMeasuredRecord, ...] = (*take.quantities, *take.not_measured)
    for record in records:
        whose.setdefault(record.name, Whose(photo=record.photo, photos=record.photos))
    return replace(
        take,
        checks=tuple(
            record
            for each in checks
            for record in check_records([each], whose.get(each.limit.quantity, Whose.one(0)))
        ),
    )
