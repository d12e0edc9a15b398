"""The results of the takes of one coupon as one result."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import accumulate
from typing import Final, TypeVar

from beadcheck.advice import CurrentRange, joined
from beadcheck.arc import ArcSettings
from beadcheck.coupon import Coupon
from beadcheck.limits import Finding, Judging
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.coupon_values import HEIGHTS, coupon_quantities, mean_width
from beadcheck.pipeline.judged import Judge, judge_of, judged
from beadcheck.pipeline.length_clauses import depths_through, judged_by_length, left_to_all
from beadcheck.pipeline.ways import disagreements
from beadcheck.pipeline.whole import odd_photos, with_whole_weld
from beadcheck.quantity import Quantity, QuantityName, Statistic
from beadcheck.result import (
    CheckRecord,
    IndicationRecord,
    LayerRecord,
    NotMeasuredRecord,
    OpeningRecord,
    ProfileRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
    TackRecord,
    Whose,
    advice_of,
    advice_records,
    quantity_of,
    quantity_records,
)
from beadcheck.units import Unit

SoleRecord = TypeVar(
    "SoleRecord",
    StationRecord,
    RippleRecord,
    IndicationRecord,
    LayerRecord,
    OpeningRecord,
    TackRecord,
)
SharedRecord = TypeVar(
    "SharedRecord", QuantityRecord, NotMeasuredRecord, CheckRecord, ProfileRecord
)

FROM_ABOVE: Final = (PhotoKind.FACE.value, PhotoKind.PAIR.value)
"""Kinds of which a photo shows the weld's width all along."""


def join(
    results: Sequence[Result],
    *,
    coupon: Coupon,
    limits: str | None = None,
    judging: Judging | None = None,
    settings: ArcSettings | None = None,
    allowed: CurrentRange | None = None,
    sectors: int | None = None,
) -> Result:
    """Results of the takes of one coupon as one, photo indices counted on.

    What one take cannot show by its kind is left out where another speaks of it. Limits that depend
    on the weld width take the coupon's. Heights of several takes give values of the coupon too, and
    where the ways of measuring contradict each other, a photo's problems say so. Advice follows
    from the findings as they stand at the end.

    Parameters
    ----------
    settings, allowed
        What the takes were measured with, for the amounts in advice.
    sectors
        In how many sectors of the clock a pipe weld is told, or in how many stretches a
        plate's; None takes the usual number.

    Raises
    ------
    InputFileError
        The limit file is broken.
    """
    if not results:
        msg = "there is nothing to join"
        raise ValueError(msg)
    judge = judge_of(coupon, limits=limits, judging=judging, settings=settings, allowed=allowed)
    width = _width_from_above(results, judge.coupon)
    through = depths_through(results, coupon)
    takes = _by_one_width(results, judge, width)
    takes = _counted_on(_warned(_without_unshown(left_to_all(takes, through, judge, width))))
    by_length = judged_by_length(through, takes, judge)
    advice = [*(a for take in takes for a in take.advice), *by_length.advice]
    joined_takes = replace(
        takes[0],
        photos=tuple(p for take in takes for p in take.photos),
        stations=tuple(s for take in takes for s in take.stations),
        ripples=tuple(r for take in takes for r in take.ripples),
        layers=tuple(each for take in takes for each in take.layers),
        indications=tuple(i for take in takes for i in take.indications),
        profiles=tuple(p for take in takes for p in take.profiles),
        openings=tuple(o for take in takes for o in take.openings),
        tacks=tuple(t for take in takes for t in take.tacks),
        quantities=(
            *_once(q for take in takes for q in take.quantities),
            *_of_coupon(takes),
            *by_length.quantities,
        ),
        not_measured=_once(n for take in takes for n in take.not_measured),
        checks=(*_once(c for take in takes for c in take.checks), *by_length.checks),
        advice=advice_records(joined(map(advice_of, advice))),
    )
    return with_whole_weld(joined_takes, judge, sectors=sectors)


def _once(records: Iterable[SharedRecord]) -> tuple[SharedRecord, ...]:
    """Records without repeats: every take tells alike what follows from the settings alone."""
    return tuple(dict.fromkeys(records))


def _width_from_above(takes: Sequence[Result], coupon: Coupon) -> Quantity | None:
    """Weld width of the coupon as photos from above show it; None where none does.

    Photos that are of another coupon, or of the same place again, take no part. Only where a
    section's limits ask for the width is it worth finding out which.
    """
    odd: frozenset[int] = frozenset()
    if any(_kind(take) not in FROM_ABOVE for take in takes):
        odd = odd_photos(_counted_on(takes), coupon)
    firsts = accumulate((len(take.photos) for take in takes), initial=0)
    return mean_width(
        [
            quantity_of(q)
            for take, first in zip(takes, firsts, strict=False)
            if _kind(take) in FROM_ABOVE and first not in odd
            for q in take.quantities
            if (q.name, q.statistic, q.unit) == (QuantityName.WELD_WIDTH, Statistic.MEAN, Unit.MM)
        ]
    )


def _by_one_width(takes: Sequence[Result], judge: Judge, width: Quantity | None) -> list[Result]:
    """Compare heights of single sections with limits for the width that photos from above gave."""
    if width is None:
        return list(takes)
    return [
        take if _kind(take) in FROM_ABOVE else judged(take, judge, width=width) for take in takes
    ]


def _without_unshown(takes: Sequence[Result]) -> list[Result]:
    """Leave out what a take cannot show by its kind, where another take speaks of it."""
    told = [{name for name in _names(take) if _shows(take, name)} for take in takes]
    kept = []
    for index, take in enumerate(takes):
        by_others = set().union(*told[:index], *told[index + 1 :])
        left_out = {name for name in by_others if not _shows(take, name)}
        kept.append(
            replace(
                take,
                not_measured=tuple(n for n in take.not_measured if n.name not in left_out),
                checks=tuple(
                    c
                    for c in take.checks
                    if c.finding != Finding.NOT_MEASURED or c.name not in left_out
                ),
            )
        )
    return kept


def _names(take: Result) -> set[str]:
    """Names of everything that a take gives, or says that it could not."""
    return {q.name for q in take.quantities} | {n.name for n in take.not_measured}


def _shows(take: Result, name: str) -> bool:
    """Whether photos of this kind show a quantity at all, well taken."""
    kind = _kind(take)
    return kind == PhotoKind.PAIR or (kind == PhotoKind.FACE) != (name in HEIGHTS)


def _warned(takes: Sequence[Result]) -> list[Result]:
    """Add to the first photo of a way that it contradicts another way."""
    ways: dict[PhotoKind, list[Quantity]] = defaultdict(list)
    for take in takes:
        heights = [quantity_of(q) for q in take.quantities if q.name in HEIGHTS]
        if heights:
            ways[PhotoKind(_kind(take))] += heights
    warned = list(takes)
    for kind, problem in disagreements(ways):
        at = next(i for i, take in enumerate(warned) if _kind(take) == kind and take.profiles)
        first, *rest = warned[at].photos
        told = replace(first, problems=(*first.problems, problem))
        warned[at] = replace(warned[at], photos=(told, *rest))
    return warned


def _of_coupon(takes: Sequence[Result]) -> tuple[QuantityRecord, ...]:
    """Heights that several takes give, as values of the coupon, with the photos behind each."""
    together = coupon_quantities([[quantity_of(q) for q in t.quantities] for t in takes])
    sources = {
        q.name: sorted(
            {p for t in takes for r in t.quantities if r.name == q.name for p in _photos_of(r)}
        )
        for q in together
    }
    return tuple(
        record
        for quantity in together
        for record in quantity_records([quantity], Whose.coupon(sources[quantity.name]))
    )


def _photos_of(record: QuantityRecord) -> tuple[int, ...]:
    return record.photos if record.photo is None else (record.photo,)


def _kind(take: Result) -> str:
    return take.photos[0].kind


def _counted_on(takes: Sequence[Result]) -> list[Result]:
    """Takes with their photo indices counted on from one to the next."""
    shifted = []
    first = 0
    for take in takes:
        shifted.append(_shifted(take, first))
        first += len(take.photos)
    return shifted


def _shifted(result: Result, first: int) -> Result:
    """Result of one take whose first photo is the given one of several."""

    def sole(record: SoleRecord) -> SoleRecord:
        return replace(record, photo=record.photo + first)

    def shared(record: SharedRecord) -> SharedRecord:
        photo = None if record.photo is None else record.photo + first
        return replace(record, photo=photo, photos=tuple(p + first for p in record.photos))

    return replace(
        result,
        stations=tuple(sole(s) for s in result.stations),
        ripples=tuple(sole(r) for r in result.ripples),
        layers=tuple(sole(each) for each in result.layers),
        indications=tuple(sole(i) for i in result.indications),
        profiles=tuple(shared(p) for p in result.profiles),
        openings=tuple(sole(o) for o in result.openings),
        tacks=tuple(sole(t) for t in result.tacks),
        quantities=tuple(shared(q) for q in result.quantities),
        not_measured=tuple(shared(n) for n in result.not_measured),
        checks=tuple(shared(c) for c in result.checks),
    )
