"""The weld beside a target, and its toes, on one surface."""

from beadcheck.photo import Photo
from beadcheck.pipeline.hand_weld import weld_with_hand_toes
from beadcheck.pipeline.request import Request
from beadcheck.surface import SolvedSurface
from beadcheck.toes import (
    FollowedWeld,
    HandToes,
    LocatedWeld,
    Toes,
    follow_by_hand,
    follow_weld,
    locate_weld,
    stations,
    weld_along,
)


def toes_on(
    photo: Photo, surface: SolvedSurface, request: Request, hand: HandToes | None
) -> tuple[FollowedWeld, Toes]:
    """Find the weld and its toes on one surface."""

    def find() -> tuple[SolvedSurface, FollowedWeld]:
        return surface, follow_weld(photo, surface, located_weld(photo, surface, request))

    def by_hand() -> tuple[SolvedSurface, FollowedWeld]:
        return surface, follow_by_hand(photo, surface, placed)

    if hand is None:
        _, followed = find()
        return followed, stations(followed, surface)
    placed = hand
    _, followed, toes = weld_with_hand_toes(hand, find=find, by_hand=by_hand, place=stations)
    return followed, toes


def located_weld(photo: Photo, surface: SolvedSurface, request: Request) -> LocatedWeld:
    """Weld beside the target, where a person pointed or else where it is found.

    Raises
    ------
    NoWeldFoundError
    """
    if request.along is None:
        return locate_weld(photo, surface)
    return weld_along(photo, surface, request.along.start_px, request.along.end_px)
