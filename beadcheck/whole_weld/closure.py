"""Whether a strip closes as it should; else which of diameter, print and wrap does not fit.

One turn of the strip, and the curvature that photos show, both tell one ratio only: printed
millimetres to the pipe's own. Which of the two is off follows from what else is known: a check bar
that was measured vouches for the print, a size of the table for the pipe. A strip that stands off
the pipe makes its turn longer, while the curvature of the pieces that lie tight stays right.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from beadcheck.coupon.pipe_tolerance import diameter_tolerance, standard_size
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.whole_weld.clock import Clock
from beadcheck.whole_weld.curved import Curved
from beadcheck.whole_weld.place import ClosedBy, Strip
from beadcheck.whole_weld.view import View

TELL_RATIO: Final = 0.004
"""From here on something is told: paper and print alone are off by less (an estimate)."""
TELL_SIGMAS: Final = 3.0
CONTRADICTS_SIGMAS: Final = 2.0
"""Beyond this, what is known of print and pipe cannot both hold."""
U_ENTERED_RATIO: Final = 0.01 / math.sqrt(3.0)
"""Of a diameter that is no size of the table: who measured it, and how, is not known."""
NEAR_SIZE_RATIO: Final = 0.004
"""A diameter this near to a size of the table is taken for it."""
SLACK_MM: Final = 1.0
"""A turn longer by less is no slack, even where one photo shows another round than the others."""
SEVERAL: Final = 2
"""So many photos that show another round show slack, however long the turn: print and pipe leave
that open (renders for tuning: in 3 of 5 rings that stand off by 0.75 mm or more, in none of 22 that
lie tight)."""
U_CURVED_RATIO: Final = 0.002
"""Of the curvature by photos of one lens, beyond what it says itself (renders for tuning)."""
U_SLACK_MM: Final = 0.6
"""Of places on a strip that stands off somewhere, at least (renders for tuning: 0.7 mm rms)."""
SLACK_RATIO: Final = 0.003
"""A turn that is longer by less than this share of itself is no slack worth naming."""


class Fault(StrEnum):
    """What does not fit."""

    NONE = "none"
    DIAMETER = "diameter"
    PRINT_SCALE = "print_scale"
    DIAMETER_OR_PRINT_SCALE = "diameter_or_print_scale"
    SLACK = "slack"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of pipe and print before any photo.

    Attributes
    ----------
    entered_mm
        Diameter under the strip as entered: the outside one, or the bore.
    size
        Name of the table's size that it is, or None.
    u_diameter_ratio, u_print_ratio
        Relative standard uncertainties of the entered diameter and of the print scale.
    print_ratio
        Printed over nominal length that the photos were measured with.
    """

    entered_mm: float
    size: str | None
    u_diameter_ratio: float
    print_ratio: float
    u_print_ratio: float
    bar_measured: bool
    in_bore: bool = False

    @property
    def named(self) -> str:
        """What is called the diameter under the strip."""
        return "bore" if self.in_bore else "outside diameter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """How the turn fits, and the scale that closes it.

    Attributes
    ----------
    scale_ratio, u_scale_ratio
        By what lengths of the photos are multiplied, and the relative standard uncertainty of
        scale that is left.
    length_mm, u_length_mm
        Girth of the bare pipe.
    u_place_mm
        Standard uncertainty of places round it that a slack strip adds.
    """

    fault: Fault
    words: str
    scale_ratio: float
    u_scale_ratio: float
    length_mm: float
    u_length_mm: float
    u_place_mm: float = 0.0

    @property
    def diameter_mm(self) -> float:
        """Outside diameter that belongs to the girth."""
        return self.length_mm / math.pi


def known_of(
    views: Sequence[View], entered_mm: float, *, u_bore_ratio: float | None = None
) -> Known:
    """What the coupon and the print say.

    `u_bore_ratio` is the relative standard uncertainty of a bore; None of an outside diameter.
    """
    frame = views[0].frame
    size = standard_size(entered_mm) if u_bore_ratio is None else None
    if u_bore_ratio is not None:
        u_ratio = u_bore_ratio
    elif size is None:
        u_ratio = U_ENTERED_RATIO
    else:
        tolerance = diameter_tolerance(size)
        u_ratio = max(tolerance.below_mm, tolerance.above_mm) / math.sqrt(3.0) / entered_mm
    return Known(
        entered_mm=entered_mm,
        size=None if size is None else str(size),
        u_diameter_ratio=u_ratio,
        print_ratio=frame.print_ratio,
        u_print_ratio=frame.print_u_ratio / frame.print_ratio,
        bar_measured=frame.bar_measured,
        in_bore=u_bore_ratio is not None,
    )


def closure_of(strip: Strip, curved: Curved | None, known: Known) -> Closure:
    """Compare the turn with the pipe, and find the scale that closes it."""
    off = math.log(strip.length_mm / (math.pi * known.entered_mm))
    u_off = strip.u_length_mm / strip.length_mm
    if curved is not None and _slack(strip, curved, known):
        return _slack_closure(strip, curved, known)
    plain = abs(off) > max(TELL_RATIO, TELL_SIGMAS * u_off)
    told = plain and strip.closed_by is not ClosedBy.CURVATURE
    fault = _which(known, off) if told else Fault.NONE
    scale, u_scale = _scale(known, fault, off, u_off)
    length_mm = strip.length_mm * math.exp(scale)
    return Closure(
        fault=fault,
        words=_words(strip, known, fault, off),
        scale_ratio=math.exp(scale),
        u_scale_ratio=u_scale,
        length_mm=length_mm,
        u_length_mm=length_mm * math.hypot(u_off, u_scale),
    )


def _slack(strip: Strip, curved: Curved, known: Known) -> bool:
    """Whether the turn is longer than the curvature explains, or the strip stands off in places."""
    if strip.closed_by is ClosedBy.CURVATURE:
        return False
    if len(curved.off_round) >= SEVERAL:
        return True
    longer_mm = strip.length_mm - math.pi * known.entered_mm
    if curved.off_round and longer_mm > max(SLACK_MM, TELL_SIGMAS * strip.u_length_mm):
        return True
    longer = strip.length_mm / (math.pi * curved.diameter_mm) - 1.0
    u_longer = math.hypot(strip.u_length_mm / strip.length_mm, _u_curved_ratio(curved))
    return longer > max(SLACK_RATIO, TELL_SIGMAS * u_longer)


def _u_curved_ratio(curved: Curved) -> float:
    """Relative standard uncertainty of the diameter by curvature."""
    return math.hypot(curved.u_mm / curved.diameter_mm, U_CURVED_RATIO)


def _which(known: Known, off: float) -> Fault:
    if known.bar_measured:
        return Fault.DIAMETER
    if known.size is not None:
        return Fault.PRINT_SCALE
    return Fault.DIAMETER if _size_instead(known, off) else Fault.DIAMETER_OR_PRINT_SCALE


def _size_instead(known: Known, off: float) -> str | None:
    """Name the table's size that the pipe would be if the print is true."""
    if known.in_bore:
        return None
    diameter_mm = known.entered_mm * math.exp(off)
    size = standard_size(diameter_mm, within_mm=NEAR_SIZE_RATIO * diameter_mm)
    return None if size is None else f"{size} ({size.outside_diameter_mm:.1f} mm)"


def _scale(known: Known, fault: Fault, off: float, u_off: float) -> tuple[float, float]:
    """Logarithm of what the photos' lengths are multiplied by, and its standard uncertainty.

    What is known of print and pipe beforehand, and their ratio as seen, are weighed together. Where
    both cannot hold, what was named is off by all of it; where nobody knows which, either may be.
    """
    print2, pipe2 = known.u_print_ratio**2, known.u_diameter_ratio**2
    expected = math.sqrt(print2 + pipe2 + u_off**2)
    if abs(off) <= CONTRADICTS_SIGMAS * expected:
        pipe2 += u_off**2
        return -off * print2 / (print2 + pipe2), math.sqrt(print2 * pipe2 / (print2 + pipe2))
    if fault is Fault.PRINT_SCALE:
        return -off, math.hypot(known.u_diameter_ratio, u_off)
    if fault is Fault.DIAMETER_OR_PRINT_SCALE:
        return -0.5 * off, 0.5 * abs(off) / math.sqrt(3.0)
    return 0.0, known.u_print_ratio


def _slack_closure(strip: Strip, curved: Curved, known: Known) -> Closure:
    """Lay the clock out evenly over a turn that is too long: where the excess lies is not known."""
    off = math.log(strip.length_mm / (math.pi * known.entered_mm))
    scale, u_scale = _scale(known, Fault.NONE, off, strip.u_length_mm / strip.length_mm)
    length_mm = strip.length_mm * math.exp(scale)
    if curved.off_round:
        longer_mm = strip.length_mm - math.pi * known.entered_mm
        clock = Clock(length_mm=360.0, sense=1)
        places = " and ".join(dict.fromkeys(clock.words(degrees) for degrees in curved.off_round))
        why = f"near {places} its markers do not lie on one round with the others"
    else:
        longer_mm = strip.length_mm - math.pi * curved.diameter_mm
        why = f"its photos show a pipe of {curved.diameter_mm:.1f} mm in {known.named}"
    return Closure(
        fault=Fault.SLACK,
        words=_slack_words(longer_mm, why),
        scale_ratio=math.exp(scale),
        u_scale_ratio=u_scale,
        length_mm=length_mm,
        u_length_mm=math.hypot(length_mm * u_scale, longer_mm / math.sqrt(3.0)),
        u_place_mm=max(U_SLACK_MM, 0.5 * longer_mm),
    )


def _slack_words(longer_mm: float, why: str) -> str:
    """What was found, how much it is, and what to do."""
    remedy = (
        "Pull it tight, tape it and photograph again; places round the clock are good to "
        f"{max(2.0 * U_SLACK_MM, longer_mm):.0f} mm until then."
    )
    if longer_mm < SLACK_MM:
        return f"The strip does not lie tight: {why}. {remedy}"
    return (
        f"The strip goes round {longer_mm:.1f} mm longer than the pipe, and {why}: it does not lie "
        f"tight. Spread evenly it would stand off by {longer_mm / (2.0 * math.pi):.1f} mm. {remedy}"
    )


def _words(strip: Strip, known: Known, fault: Fault, off: float) -> str:
    """What was found, with numbers, and what settles it."""
    expected_mm = math.pi * known.entered_mm
    apart_mm = strip.length_mm - expected_mm
    if fault is Fault.NONE:
        if strip.closed_by is ClosedBy.CURVATURE:
            return (
                "No photo shows where the strip closes: photograph the seam too, to check diameter "
                "and print scale."
            )
        u_mm = COVERAGE_FACTOR * strip.u_length_mm
        return (
            f"One turn of the strip is {strip.length_mm:.1f} ± {max(u_mm, 0.1):.1f} mm, the pipe "
            f"{expected_mm:.1f} mm round: they agree within what pipes and prints are made to."
        )
    longer = "longer" if apart_mm > 0.0 else "shorter"
    found = (
        f"One turn of the strip is {abs(apart_mm):.1f} mm {longer} than the pipe of "
        f"{known.entered_mm:.1f} mm is round ({expected_mm:.1f} mm)."
    )
    diameter_mm = known.entered_mm * math.exp(off)
    percent = 100.0 * (math.exp(-off) - 1.0)
    bar_mm = 100.0 * known.print_ratio * math.exp(-off)
    smaller = "small" if percent < 0.0 else "large"
    print_is = f"the print is {abs(percent):.1f} % too {smaller} (its 100 mm bar {bar_mm:.1f} mm)"
    pipe_is = f"the pipe is {diameter_mm:.1f} mm in {known.named}"
    by_hand = "measure the bore" if known.in_bore else "lay a tape round the pipe"
    if fault is Fault.PRINT_SCALE:
        return (
            f"{found} {known.size} is a size of the table, so most likely {print_is}: measure the "
            f"check bar, enter its length, and see that the strip lies tight. Else {pipe_is}."
        )
    if fault is Fault.DIAMETER:
        if known.bar_measured:
            return (
                f"{found} The check bar was measured, so {pipe_is}: {by_hand}, and correct the "
                "diameter."
            )
        return (
            f"{found} If the print is true, {pipe_is}, which is {_size_instead(known, off)}: most "
            "likely the diameter entered is wrong. Check the pipe's size, and measure the check "
            "bar."
        )
    return (
        f"{found} Either {pipe_is}, or {print_is}: measure the check bar, or {by_hand}, and enter "
        "what you find."
    )
