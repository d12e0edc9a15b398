"""The weld of a photo in which a person placed a toe, or both."""

from collections.abc import Callable
from typing import TypeVar

from beadcheck.errors import BeadError
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.errors.by_hand import (
    OneToeAloneError,
    ToeAwayFromWeldError,
    ToesOnOneSideError,
    ToesShareTooLittleError,
)
from beadcheck.surface import Surface
from beadcheck.toes import FollowedWeld, HandToes, Toes, enough_sure, with_hand_toes

AnySurface = TypeVar("AnySurface", bound=Surface)

Follow = Callable[[], tuple[AnySurface, FollowedWeld]]
"""Finds the weld, and tells on which surface."""
Place = Callable[[FollowedWeld, AnySurface], Toes]
"""From a followed weld to its stations."""


def weld_with_hand_toes(
    hand: HandToes,
    *,
    find: Follow[AnySurface],
    by_hand: Follow[AnySurface],
    place: Place[AnySurface],
) -> tuple[AnySurface, FollowedWeld, Toes]:
    """Correct the found weld by the toes that a person placed.

    Where no weld is found, or not enough of it is sure even so, two toes by hand are enough: then
    the weld is what lies between them, over the length that they share.

    Raises
    ------
    BeadError
        The toes by hand are not enough to measure by.
    """
    try:
        surface, followed, toes = _corrected(hand, find, place)
    except BeadError as refusal:
        if hand.both:
            return _by_hand(by_hand, place, refusal)
        if isinstance(refusal, NoWeldFoundError):
            raise OneToeAloneError from refusal
        raise
    if hand.both and not enough_sure(toes):
        try:
            return _by_hand(by_hand, place, None)
        except BeadError:
            pass  # what was found is refused with its own number of sure stations
    return surface, followed, toes


def _corrected(
    hand: HandToes, find: Follow[AnySurface], place: Place[AnySurface]
) -> tuple[AnySurface, FollowedWeld, Toes]:
    surface, followed = find()
    try:
        corrected = with_hand_toes(followed, hand, surface)
    except (ToeAwayFromWeldError, ToesOnOneSideError):
        place(followed, surface)  # where that is no weld after all, this says so first
        raise
    return surface, corrected, place(corrected, surface)


def _by_hand(
    by_hand: Follow[AnySurface], place: Place[AnySurface], refusal: BeadError | None
) -> tuple[AnySurface, FollowedWeld, Toes]:
    try:
        surface, followed = by_hand()
    except ToesShareTooLittleError as too_little:
        if refusal is None or isinstance(refusal, NoWeldFoundError):
            raise
        raise refusal from too_little
    return surface, followed, place(followed, surface)
