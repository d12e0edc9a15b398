"""Limits that permit an undercut on some length only, judged by the sections of several takes.

A photo with a line of light shows one section; how long an undercut runs takes many of them. Their
places are alike in all photos, as they are counted from the target or along the strip.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import Check, Limit, LimitSet, check, limits_for, otherwise_words
from beadcheck.measurements.profile import Depth, UndercutSection, lengths_through
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.coupon_values import extreme
from beadcheck.pipeline.judged_again import judged_again
from beadcheck.quantity import NotMeasured, Quantity, QuantityName, Side, Statistic
from beadcheck.result import (
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
class Undercut:
    """Undercut through the sections of several takes: its depth at either toe, and its lengths.

    Attributes
    ----------
    takes
        Indices of the takes.
    """

    takes: tuple[int, ...]
    sections: tuple[UndercutSection, ...]
    depths: tuple[Quantity, ...]

    def lengths(self, from_mm: float = 0.0) -> tuple[Quantity, ...]:
        """How long it runs, counted from a depth, or from the least that can be told."""
        found = lengths_through(self.sections, counts_from_mm=from_mm)
        return tuple(each for each in found if not isinstance(each, NotMeasured))


def undercut_through(takes: Sequence[Result]) -> Undercut | None:
    """Undercut through the sections of two takes and more; None where they lie too far apart."""
    mine = tuple(
        index
        for index, take in enumerate(takes)
        if take.photos[0].kind == PhotoKind.LIGHT_LINE and take.profiles
    )
    if len(mine) < 2:
        return None
    depths = [
        quantity_of(q)
        for index in mine
        for q in takes[index].quantities
        if (q.name, q.statistic) == (QuantityName.UNDERCUT_DEPTH, Statistic.MAX)
    ]
    undercut = Undercut(
        takes=mine,
        sections=tuple(_section(profile) for index in mine for profile in takes[index].profiles),
        depths=tuple(
            replace(extreme(alike), side=side)
            for side in Side
            if (alike := [depth for depth in depths if depth.side is side])
        ),
    )
    return undercut if undercut.lengths() else None


def left_to_all(
    take: Result, coupon: Coupon, limit_set: LimitSet, width: Quantity | None
) -> Result:
    """Return a take without what its sections tell only together with those of others."""
    kept = tuple(limit for limit in limit_set.limits if not _is_by_length(limit))
    judged = judged_again(take, coupon, replace(limit_set, limits=kept), width=width)
    missing = tuple(n for n in take.not_measured if n.name != QuantityName.UNDERCUT_LENGTH)
    return replace(judged, not_measured=missing)


def lengths_judged(
    undercut: Undercut, takes: Sequence[Result], coupon: Coupon, limit_set: LimitSet
) -> tuple[tuple[QuantityRecord, ...], tuple[CheckRecord, ...]]:
    """Lengths of the coupon, and their comparisons with the limits that have a length clause.

    Parameters
    ----------
    takes
        With their photos counted on from one to the next.
    """
    photos = sorted(
        {
            profile.photo
            for index in undercut.takes
            for profile in takes[index].profiles
            if profile.photo is not None
        }
    )
    whose = Whose.coupon(photos)
    told = TOGETHER.format(count=len(photos))
    checks = tuple(
        replace(each, note=f"{each.note} {told}".strip())
        for limit in limits_for(limit_set, coupon)
        if _is_by_length(limit)
        for each in _by_either_number(limit, undercut, coupon, limit_set)
    )
    return quantity_records(undercut.lengths(), whose), check_records(checks, whose)


def _by_either_number(
    limit: Limit, undercut: Undercut, coupon: Coupon, limit_set: LimitSet
) -> list[Check]:
    """Judge by the number of the chosen system, and say where the other decides otherwise."""
    checks = _judged(limit, undercut, coupon, limit_set)
    if limit.other is None or not limit.other.holds_for(coupon):
        return checks
    others = _judged(limit.other, undercut, coupon, limit_set)
    return [
        each
        if each.finding is other.finding
        else replace(each, note=f"{each.note} {otherwise_words(limit, other.finding)}".strip())
        for each, other in zip(checks, others, strict=True)
    ]


def _judged(limit: Limit, undercut: Undercut, coupon: Coupon, limit_set: LimitSet) -> list[Check]:
    """Judge by one printed number, lengths counted from the depth that its clause names."""
    wall_mm = coupon.wall_thickness_mm or 0.0
    from_mm = 0.0 if limit.stretches is None else limit.stretches.over_at(wall_mm)
    alone = replace(limit_set, limits=(replace(limit, other=None),))
    quantities = (*undercut.depths, *undercut.lengths(from_mm))
    return list(check(quantities, (), limit_set=alone, coupon=coupon, lengths_from_mm=from_mm))


def _is_by_length(limit: Limit) -> bool:
    """Whether the length of an undercut has a say."""
    if limit.quantity is QuantityName.UNDERCUT_LENGTH:
        return True
    return limit.quantity is QuantityName.UNDERCUT_DEPTH and limit.stretches is not None


def _section(profile: ProfileRecord) -> UndercutSection:
    return UndercutSection(
        s_mm=profile.s_mm,
        depths={
            Side(reading.side): Depth(
                value=reading.value, expanded_uncertainty=reading.expanded_uncertainty
            )
            for reading in profile.readings
            if reading.name == QuantityName.UNDERCUT_DEPTH and reading.side is not None
        },
    )
