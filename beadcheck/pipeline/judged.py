"""What was measured on a take, compared with limits, and what to change: both from one reading.

A take is judged when it is measured, and again where the coupon's width, its other takes or another
unit change what it is compared with; its advice is made from the findings of the same judgement.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace

from beadcheck.advice import CurrentRange, LookedAt, advise
from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon
from beadcheck.indications import CandidateKind
from beadcheck.limits import Check, Judging, LimitSet, check, default_limit_set, load_limit_set
from beadcheck.pipeline.read_at import places_of
from beadcheck.quantity import Quantity, QuantityName, Side
from beadcheck.result import (
    AdviceRecord,
    NotMeasuredRecord,
    QuantityRecord,
    Result,
    Whose,
    advice_records,
    check_records,
    not_measured_of,
    quantity_of,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """What findings and advice follow from, besides what was measured.

    Attributes
    ----------
    settings
        What the welder says of arc and run; process and pulse times are the coupon's.
    allowed
        Currents that the procedure or the electrode allows.
    """

    coupon: Coupon
    limit_set: LimitSet
    settings: ArcSettings = field(default_factory=ArcSettings)
    allowed: CurrentRange | None = None

    def advice(
        self, take: Result, quantities: Sequence[Quantity], checks: Iterable[Check]
    ) -> tuple[AdviceRecord, ...]:
        """Advice that follows from these values and findings of a take, and what else it shows."""
        return advice_records(
            advise(
                quantities,
                checks,
                coupon=self.coupon,
                settings=self.settings.of_coupon(self.coupon),
                allowed=self.allowed,
                looked_at=[
                    LookedAt(
                        kind=CandidateKind(each.kind),
                        side=None if each.side is None else Side(each.side),
                    )
                    for each in take.indications
                ],
                places=places_of(quantities, take.stations, take.ripples, take.profiles),
            )
        )


def judge_of(
    coupon: Coupon,
    *,
    limits: str | None = None,
    judging: Judging | None = None,
    settings: ArcSettings | None = None,
    allowed: CurrentRange | None = None,
) -> Judge:
    """Judge by a limit set's name or file; None takes the usual one of the coupon.

    Raises
    ------
    InputFileError
        The limit file is broken.
    """
    return Judge(
        coupon=coupon,
        limit_set=load_limit_set(limits or default_limit_set(coupon), judging),
        settings=settings or ArcSettings(),
        allowed=allowed,
    )


def all_judged_again(takes: Iterable[Result], judge: Judge) -> list[Result]:
    """Return the results of single takes as if they had been judged in another way."""
    return [judged(take, judge) for take in takes]


def judged(
    take: Result,
    judge: Judge,
    *,
    width: Quantity | None = None,
    told_elsewhere: Collection[QuantityName] = (),
) -> Result:
    """Return the result of one take with its findings and its advice made anew.

    Parameters
    ----------
    width
        Weld width of the coupon, for the limits that depend on it; None takes the take's own.
    told_elsewhere
        Quantities of which the coupon gives advice, as it judges them over several takes.
    """
    quantities = [quantity_of(each) for each in take.quantities]
    without_target = all(photo.without_target for photo in take.photos)
    limit_set = judge.limit_set
    checks = check(
        quantities,
        map(not_measured_of, take.not_measured),
        limit_set=limit_set.without_lengths if without_target else limit_set,
        coupon=judge.coupon,
        width=width,
    )
    whose: dict[str, Whose] = {}
    records: tuple[QuantityRecord | NotMeasuredRecord, ...] = (*take.quantities, *take.not_measured)
    for record in records:
        whose.setdefault(record.name, Whose(photo=record.photo, photos=record.photos))
    own = [each for each in quantities if each.name not in told_elsewhere]
    return replace(
        take,
        checks=tuple(
            record
            for each in checks
            # A limit that no photo speaks of is the first's.
            for record in check_records([each], whose.get(each.limit.quantity, Whose.one(0)))
        ),
        advice=judge.advice(take, own, checks),
    )
