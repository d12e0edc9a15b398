"""Limits that permit a depth on some length only, judged by the sections of several takes.

A photo with a line of light shows one section; how long an undercut or an underfill runs takes many
of them. Their places are alike in all photos, as they are counted from the target or along the
strip.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import Check, Limit, LimitSet, check, limits_for, otherwise_words
from beadcheck.measurements.profile import (
    Depth,
    DepthSection,
    lengths_through,
    lies_in_groove,
)
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.coupon_values import extreme
from beadcheck.pipeline.judged import Judge, judged
from beadcheck.quantity import LENGTH_OF, NotMeasured, Quantity, QuantityName, Side, Statistic
from beadcheck.result import (
    AdviceRecord,
    CheckRecord,
    ProfileRecord,
    QuantityRecord,
    Result,
    Whose,
    check_records,
    quantity_of,
    quantity_records,
)

TOGETHER: Final = (
    "The sections of {count} photos are put together by their places, which holds while the target "
    "stays where it is and all photos are taken the same way round."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """One depth through the sections of several takes: how deep, and how long.

    Attributes
    ----------
    takes
        Indices of the takes.
    depths
        Deepest of all, at either toe where each has its own.
    """

    name: QuantityName
    takes: tuple[int, ...]
    sections: tuple[DepthSection, ...]
    depths: tuple[Quantity, ...]

    @property
    def may_be_there(self) -> bool:
        """Whether any section shows it, or cannot rule it out; of an undercut none ever can."""
        if self.name is QuantityName.UNDERCUT_DEPTH:
            return True
        return any(each.value + each.expanded_uncertainty > 0.0 for each in self.depths)

    def lengths(self, from_mm: float = 0.0) -> tuple[Quantity, ...]:
        """How long it runs, counted from a depth, or from the least that can be told."""
        found = lengths_through(self.sections, self.name, counts_from_mm=from_mm)
        return tuple(each for each in found if not isinstance(each, NotMeasured))

    def rules(self, limit: Limit) -> bool:
        """Whether how long this runs has a say in a limit."""
        if limit.quantity is LENGTH_OF[self.name]:
            return True
        return limit.quantity is self.name and limit.stretches is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class ByLength:
    """What the sections of several takes say together."""

    quantities: tuple[QuantityRecord, ...] = ()
    checks: tuple[CheckRecord, ...] = ()
    advice: tuple[AdviceRecord, ...] = ()


def depths_through(takes: Sequence[Result], coupon: Coupon) -> tuple[Through, ...]:
    """Depths through the sections of two takes and more; none where they lie too far apart.

    In a groove no length clause holds.
    """
    mine = tuple(
        index
        for index, take in enumerate(takes)
        if take.photos[0].kind == PhotoKind.LIGHT_LINE and take.profiles
    )
    if len(mine) < 2 or lies_in_groove(coupon.weld_pass):
        return ()
    found = (_through(name, mine, takes) for name in LENGTH_OF)
    return tuple(each for each in found if each.may_be_there and each.lengths())


def _through(name: QuantityName, mine: tuple[int, ...], takes: Sequence[Result]) -> Through:
    depths = [
        quantity_of(q)
        for index in mine
        for q in takes[index].quantities
        if (q.name, q.statistic) == (name, Statistic.MAX)
    ]
    return Through(
        name=name,
        takes=mine,
        sections=tuple(
            _section(profile, name) for index in mine for profile in takes[index].profiles
        ),
        depths=tuple(
            replace(extreme(alike), side=side)
            for side in (*Side, None)
            if (alike := [depth for depth in depths if depth.side is side])
        ),
    )


def left_to_all(
    takes: Sequence[Result], through: Sequence[Through], judge: Judge, width: Quantity | None
) -> list[Result]:
    """Return the takes without what their sections tell only together with those of others."""
    if not through:
        return list(takes)
    limits = judge.limit_set.limits
    kept = tuple(each for each in limits if not any(depth.rules(each) for depth in through))
    by_others = replace(judge, limit_set=replace(judge.limit_set, limits=kept))
    told = {each.quantity for each in _ruled(through, judge)}
    lengths = {LENGTH_OF[depth.name] for depth in through}
    return [
        replace(
            judged(take, by_others, width=width, told_elsewhere=told),
            not_measured=tuple(n for n in take.not_measured if n.name not in lengths),
        )
        if index in through[0].takes
        else take
        for index, take in enumerate(takes)
    ]


def _ruled(through: Iterable[Through], judge: Judge) -> list[Limit]:
    """Limits of this coupon in which one of these lengths has a say."""
    return [
        limit
        for depth in through
        for limit in limits_for(judge.limit_set, judge.coupon)
        if depth.rules(limit)
    ]


def judged_by_length(through: Sequence[Through], takes: Sequence[Result], judge: Judge) -> ByLength:
    """Lengths of the coupon, their comparisons with the limits that ask for them, and advice.

    Parameters
    ----------
    takes
        With their photos counted on from one to the next.
    """
    if not through:
        return ByLength()
    photos = sorted(
        {
            profile.photo
            for index in through[0].takes
            for profile in takes[index].profiles
            if profile.photo is not None
        }
    )
    whose = Whose.coupon(photos)
    told = TOGETHER.format(count=len(photos))
    checks = [
        replace(each, note=f"{each.note} {told}".strip())
        for depth in through
        for limit in _ruled([depth], judge)
        for each in _by_either_number(limit, depth, judge.coupon, judge.limit_set)
    ]
    compared = {each.limit.quantity for each in checks}
    values = [q for depth in through for q in (*depth.depths, *depth.lengths())]
    sections = replace(
        takes[0],
        stations=(),
        ripples=(),
        layers=(),
        indications=(),
        profiles=tuple(p for index in through[0].takes for p in takes[index].profiles),
    )
    return ByLength(
        quantities=tuple(
            record for depth in through for record in quantity_records(depth.lengths(), whose)
        ),
        checks=check_records(checks, whose),
        # Depths that each take has its own findings of get their advice there.
        advice=judge.advice(sections, [q for q in values if q.name in compared], checks),
    )


def _by_either_number(
    limit: Limit, through: Through, coupon: Coupon, limit_set: LimitSet
) -> list[Check]:
    """Judge by the number of the chosen system, and say where the other decides otherwise."""
    checks = _judged(limit, through, coupon, limit_set)
    if limit.other is None or not limit.other.holds_for(coupon):
        return checks
    others = _judged(limit.other, through, coupon, limit_set)
    return [
        each
        if each.finding is other.finding
        else replace(each, note=f"{each.note} {otherwise_words(limit, other.finding)}".strip())
        for each, other in zip(checks, others, strict=True)
    ]


def _judged(limit: Limit, through: Through, coupon: Coupon, limit_set: LimitSet) -> list[Check]:
    """Judge by one printed number, lengths counted from the depth that its clause names."""
    wall_mm = coupon.wall_thickness_mm or 0.0
    from_mm = 0.0 if limit.stretches is None else limit.stretches.over_at(wall_mm)
    alone = replace(limit_set, limits=(replace(limit, other=None),))
    quantities = (*through.depths, *through.lengths(from_mm))
    return list(check(quantities, (), limit_set=alone, coupon=coupon, lengths_from_mm=from_mm))


def _section(profile: ProfileRecord, name: QuantityName) -> DepthSection:
    return DepthSection(
        s_mm=profile.s_mm,
        depths={
            None if reading.side is None else Side(reading.side): Depth(
                value=reading.value, expanded_uncertainty=reading.expanded_uncertainty
            )
            for reading in profile.readings
            if reading.name == name
        },
    )
