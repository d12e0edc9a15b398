"""The whole weld added to the result of its photos."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import check
from beadcheck.pipeline.judged import Judge
from beadcheck.result import (
    CheckRecord,
    ProblemRecord,
    Result,
    WholeWeldRecord,
    Whose,
    check_records,
    quantity_records,
)
from beadcheck.whole_weld.build import WholeWeld, laid_weld, whole_weld

ODD: Final = ("duplicate", "not_belonging")


def with_whole_weld(result: Result, judge: Judge, *, sectors: int | None) -> Result:
    """Add what the photos from above show together, where several of them can be joined.

    The whole weld's values stand for the coupon and are compared with the limits as such. Photos
    that are no part of it, and a strip that does not close, are told among the photos' problems.
    """
    whole = whole_weld(
        result,
        judge.coupon,
        limit_set=judge.limit_set,
        arc=judge.settings.of_coupon(judge.coupon),
        sectors=sectors,
    )
    if whole is None:
        return result
    if len(whole.record.photos) < 2:
        return _told(result, whole.record)
    whose = Whose.coupon(whole.record.photos)
    return replace(
        _told(result, whole.record),
        whole_weld=whole.record,
        quantities=(*result.quantities, *quantity_records(whole.quantities, whose)),
        checks=(*result.checks, *_checks(whole, judge, whose)),
    )


def odd_photos(takes: Sequence[Result], coupon: Coupon) -> frozenset[int]:
    """Photos from above that are of another coupon, or show a place again.

    `takes` count their photos on from one to the next.
    """
    together = replace(
        takes[0],
        photos=tuple(photo for take in takes for photo in take.photos),
        stations=tuple(station for take in takes for station in take.stations),
        ripples=tuple(ripple for take in takes for ripple in take.ripples),
        quantities=tuple(quantity for take in takes for quantity in take.quantities),
    )
    laid = laid_weld(together, coupon)
    left_out = () if laid is None else laid.left_out
    return frozenset(each.photo for each in left_out if each.code in ODD)


def _checks(whole: WholeWeld, judge: Judge, whose: Whose) -> tuple[CheckRecord, ...]:
    """Findings on what the whole weld gives; of anything else single photos speak."""
    names = {quantity.name for quantity in whole.quantities}
    found = check(whole.quantities, (), limit_set=judge.limit_set, coupon=judge.coupon)
    return check_records((each for each in found if each.limit.quantity in names), whose)


def _told(result: Result, whole: WholeWeldRecord) -> Result:
    """Tell the photos' problems with the whole."""
    problems: dict[int, list[ProblemRecord]] = {}
    for each in whole.left_out:
        problems.setdefault(each.photo, []).append(
            ProblemRecord(code=each.code, message=each.reason)
        )
    closure = whole.closure
    if closure is not None and closure.fault != "none":
        problems.setdefault(closure.photos[0], []).append(
            ProblemRecord(code=f"strip_{closure.fault}", message=closure.words)
        )
    return replace(
        result,
        photos=tuple(
            replace(photo, problems=(*photo.problems, *problems.get(index, ())))
            for index, photo in enumerate(result.photos)
        ),
    )
