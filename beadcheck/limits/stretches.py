"""Lengths along the weld on which an imperfection may be as deep as its limit allows."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits.decision import DecisionRule, Finding, decide
from beadcheck.limits.printed import LengthSystem, length_words
from beadcheck.quantity import Quantity, Statistic


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretches:
    """How much of the weld may show an imperfection that no length would otherwise excuse.

    Attributes
    ----------
    total_mm
        Lengths added up, within any `window_mm` of the weld.
    share_of_weld
        Of the whole weld's length, where the source sets such a share too: the lesser rules.
    over_mm, over_per_thickness
        Depth (in mm, in thicknesses) up to which any length is permitted: the lesser rules.
        Without both every depth counts.
    """

    total_mm: float
    window_mm: float
    share_of_weld: float | None = None
    over_mm: float | None = None
    over_per_thickness: float | None = None

    def over_at(self, thickness_mm: float) -> float:
        """Depth up to which any length is permitted, in mm."""
        per_thickness = self.over_per_thickness
        depths = [] if per_thickness is None else [per_thickness * thickness_mm]
        depths += [] if self.over_mm is None else [self.over_mm]
        return min(depths, default=0.0)

    def permitted_mm(self, weld_mm: float) -> float:
        """Total length permitted on a weld of this length."""
        if self.share_of_weld is None:
            return self.total_mm
        return min(self.total_mm, self.share_of_weld * weld_mm)

    def words(self, system: LengthSystem) -> str:
        """Such as "at most 25 mm in any 100 mm and 25 % of the weld"."""
        total, window = (length_words(each, system) for each in (self.total_mm, self.window_mm))
        words = f"at most {total} in any {window}"
        if self.share_of_weld is None:
            return words
        return f"{words} and {100.0 * self.share_of_weld:.3g} % of the weld"


SHORT: Final = Stretches(total_mm=25.0, window_mm=100.0, share_of_weld=0.25)
"""Short imperfection of ISO 5817: 25 mm in the worst 100 mm, 25 % of a shorter weld (from memory).

The share rules only where the weld is shorter than 100 mm, so it needs no condition."""


def whole_weld_mm(coupon: Coupon) -> float | None:
    """Length of the whole weld: once round a pipe; None for a plate, of which it is not known."""
    diameter_mm = coupon.outside_diameter_mm
    return None if diameter_mm is None else math.pi * diameter_mm


def length_finding(
    stretches: Stretches,
    lengths: Sequence[Quantity],
    *,
    weld_mm: float | None,
    any_depth_counts: bool,
    rule: DecisionRule,
    system: LengthSystem,
) -> tuple[Finding, str]:
    """Tell whether lengths along the weld are permitted, and why.

    The longest unbroken stretch is less than the total in its window, the total of all that was
    measured is more: the one can show that there is too much, the other that there is not.

    Parameters
    ----------
    lengths
        Longest and total length, in mm, of one toe, each with the stations that it covers; those
        of several photos of one coupon where stations are counted alike in all. One or more.
    weld_mm
        Length of the whole weld, where it is known.
    any_depth_counts
        Whether every depth that the lengths were measured from counts in the source too.
    """
    measured_mm = _covered_mm(lengths)
    enough_mm = stretches.window_mm if weld_mm is None else min(stretches.window_mm, weld_mm)
    most_mm = stretches.permitted_mm(math.inf if weld_mm is None else weld_mm)
    words = f"Permitted on {stretches.words(system)}"
    for longest in (each for each in lengths if each.statistic is Statistic.MAX):
        found = decide(
            longest.value,
            expanded_uncertainty=longest.expanded_uncertainty,
            limit=most_mm,
            rule=rule,
        )
        if any_depth_counts and found is Finding.OUTSIDE:
            there = length_words(longest.value, system)
            return Finding.OUTSIDE, f"{words}, but there are {there} unbroken."
    if measured_mm < enough_mm - 0.5:
        part = length_words(measured_mm, system)
        return Finding.UNDECIDED, f"{words}: {part} of the weld were measured, too little to say."
    totals = [each for each in lengths if each.statistic is Statistic.TOTAL]
    total_mm = sum(each.value for each in totals)
    sure = decide(
        total_mm,
        expanded_uncertainty=math.fsum(each.expanded_uncertainty for each in totals),
        limit=stretches.permitted_mm(measured_mm if weld_mm is None else weld_mm),
        rule=rule,
    )
    if totals and sure is Finding.WITHIN:
        return Finding.WITHIN, f"{words}: {length_words(total_mm, system)} in all were found."
    return Finding.UNDECIDED, f"{words}: measure the lengths with a rule."


def _covered_mm(lengths: Sequence[Quantity]) -> float:
    """Length of the weld that was measured, what several photos show counted once."""
    covered, end = 0.0, -math.inf
    for first, last in sorted(each.s_range_mm for each in lengths):
        covered += max(0.0, last - max(first, end))
        end = max(end, last)
    return covered
