"""One piece of advice on a photo, and what weighs most."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from beadcheck.errors import BeadcheckError

MOST_AT_ONCE: Final = 3
"""More sentences than this are not read."""

MOST_HARMFUL_FIRST: Final = (
    "too_dark",
    "target_blurred",
    "blurred",
    "glare_on_target",
    "mirrored_target",
    "other_target",
    "target_cut_off",
    "too_few_markers",
    "no_marker",
    "pose_unclear",
    "too_oblique",
    "weld_not_in_target_plane",
    "target_lifted",
    "target_bowed",
    "target_uneven",
    "diameter_or_print_scale",
    "washed_out",
    "hazy",
    "glare_on_weld",
    "no_weld_found",
    "no_weld_in_picture",
    "too_far",
)
"""Causes before their effects: in a dark or blurred photo no marker is read, and no weld found."""

SAID_BY: Final = {"blurred": "target_blurred"}
"""What need not be said beside another code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoAdvice:
    """What is wrong with a photo and how to mend it, in one sentence.

    Attributes
    ----------
    stops
        Whether the photo cannot be measured as it is.
    """

    code: str
    message: str
    stops: bool = False


def refusal_as_advice(refusal: BeadcheckError) -> PhotoAdvice:
    """Word what a measurement would be refused for."""
    return PhotoAdvice(code=refusal.code, message=str(refusal), stops=True)


def most_harmful_first(advice: Iterable[PhotoAdvice]) -> tuple[PhotoAdvice, ...]:
    """Advice in the order in which to heed it, nothing twice."""
    once = {each.code: each for each in advice}
    said = (each for each in once.values() if SAID_BY.get(each.code) not in once)
    return tuple(sorted(said, key=lambda each: _rank(each.code)))


def _rank(code: str) -> int:
    known = code in MOST_HARMFUL_FIRST
    return MOST_HARMFUL_FIRST.index(code) if known else len(MOST_HARMFUL_FIRST)
