"""Changes of the root opening, before anything is welded into it."""

from typing import Final

from beadcheck.advice.amounts.worded import Worded, span_words
from beadcheck.advice.situation import Situation
from beadcheck.coupon.shape import WIDEST_GAP_MM

ASK: Final = "Give the root opening that the procedure asks for, and this says how thick a spacer."


def open_root(situation: Situation) -> Worded:
    """Tack again with a wider root opening."""
    return _tacked_again(situation, "open")


def close_root(situation: Situation) -> Worded:
    """Tack again with a tighter root opening."""
    return _tacked_again(situation, "close")


def _tacked_again(situation: Situation, verb: str) -> Worded:
    asked = situation.coupon.root_gap_range_mm
    spacer = "a spacer" if asked is None else f"a spacer of {_thickness_words(asked)}"
    return Worded(
        change=f"Cut the tacks beside it, {verb} the joint on {spacer}, and tack again.",
        needs=ASK if asked is None else "",
    )


def _thickness_words(asked_mm: tuple[float, float]) -> str:
    """Thickness in the middle of what is asked for; its one end, where it has no other."""
    least_mm, most_mm = asked_mm
    if least_mm <= 0.0:
        return f"at most {most_mm:.1f} mm"
    if most_mm >= WIDEST_GAP_MM:
        return f"at least {least_mm:.1f} mm"
    asked = span_words(least_mm, most_mm, "mm", 1)
    return f"{0.5 * (least_mm + most_mm):.1f} mm (the procedure asks for {asked})"
