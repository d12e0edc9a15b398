"""From taps along a toe to the line that a person places in the full photo."""

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import WeldPass
from beadcheck.quantity import Side
from beadcheck.toes import HandToes
from beadcheck.toes.hand_lines import LEAST_POINTS, LinesFault, lines_fault
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Outcome
from beadcheck_page.pointing import HELPED_BY_POINTING
from beadcheck_page.refusals import (
    TappedToesCrossError,
    TappedToesOnOneSideError,
    TooFewTapsError,
    WhoseToesError,
)

MOST_POINTS: Final = 200
"""Of one toe; a thumb sets a dozen."""
LONGEST_TEXT: Final = 20_000


HELPED_BY_TOES: Final = HELPED_BY_POINTING | {
    "hand_width",
    "one_toe_alone",
    "toe_away_from_weld",
    "toe_off_surface",
    "toes_on_one_side",
    "toes_share_too_little",
}
"""Codes of refusals after which toes placed by hand may be enough."""


def photos_to_correct(outcome: Outcome | None) -> tuple[StoredPhoto, ...]:
    """Photos whose toes a person can correct: measured ones, and those refused for their toes."""
    if outcome is None:
        return ()
    return tuple(photo for index, photo in enumerate(outcome.photos) if _helped(outcome, index))


def _helped(outcome: Outcome, index: int) -> bool:
    record = outcome.result.photos[index]
    codes = {problem.code for problem in record.problems}
    if not outcome.from_above(outcome.photos[index]):
        return False
    if outcome.result.coupon.weld_pass == WeldPass.FIT_UP:
        return False  # a joint without a weld has no toes
    readable = outcome.large_name(index) in outcome.files
    return readable and (record.usable or bool(codes & HELPED_BY_TOES))


def photo_of_taps(sent: object, photos: Sequence[StoredPhoto]) -> StoredPhoto:
    """Photo that the browser's message is about.

    Raises
    ------
    WhoseToesError
        It names none of these photos.
    """
    return _whose(_told(sent), photos)


def tapped_toes(sent: object, photos: Sequence[StoredPhoto]) -> tuple[StoredPhoto, HandToes]:
    """Photo and toes from the browser's taps, given as shares of the picture's width and height.

    Raises
    ------
    SettingError
        The taps make no toe of one of these photos.

    Examples
    --------
    >>> from pathlib import Path
    >>> photo = StoredPhoto(key="k", name="a.jpg", path=Path("a"), preview=Path("p"),
    ...                     thumbnail=Path("t"), width_px=4000, height_px=3000)
    >>> taps = '{"photo": "k", "left": [[0.25, 0.5], [0.75, 0.5]], "right": []}'
    >>> tapped_toes(taps, [photo])[1].left_px.tolist()
    [[999.5, 1499.5], [2999.5, 1499.5]]
    """
    told = _told(sent)
    photo = _whose(told, photos)
    points = {side: _points(told.get(side.value), photo) for side in Side}
    sizes = [len(each) for each in points.values()]
    if not any(sizes) or any(0 < size < LEAST_POINTS for size in sizes):
        raise TooFewTapsError
    left_px, right_px = points[Side.LEFT], points[Side.RIGHT]
    fault = lines_fault(left_px, right_px)
    if fault is LinesFault.CROSS:
        raise TappedToesCrossError
    if fault is LinesFault.SAME_TOE:
        raise TappedToesOnOneSideError
    return photo, HandToes(left_px=left_px, right_px=right_px)


def tap_shares(toe_px: NDArray[np.float64], photo: StoredPhoto) -> list[list[float]]:
    """Points of a toe as shares of the picture's width and height."""
    size = np.array([photo.width_px, photo.height_px])
    return [[round(float(x), 6), round(float(y), 6)] for x, y in (toe_px + 0.5) / size]


def _told(sent: object) -> Mapping[str, Any]:
    try:
        if not isinstance(sent, str) or len(sent) > LONGEST_TEXT:
            raise ValueError
        told = json.loads(sent)
        if not isinstance(told, dict):
            raise TypeError
    except (ValueError, TypeError, RecursionError):
        raise TooFewTapsError from None
    return told


def _whose(told: Mapping[str, Any], photos: Sequence[StoredPhoto]) -> StoredPhoto:
    for photo in photos:
        if told.get("photo") == photo.key:
            return photo
    raise WhoseToesError


def _points(told: object, photo: StoredPhoto) -> NDArray[np.float64]:
    """Pixels under shares of the picture: its edge lies half a pixel before the first centre."""
    try:
        if not isinstance(told, list) or len(told) > MOST_POINTS:
            raise ValueError
        shares = [(float(x), float(y)) for x, y in told]
        if not all(math.isfinite(each) and 0.0 <= each <= 1.0 for pair in shares for each in pair):
            raise ValueError
    except (ValueError, TypeError):
        raise TooFewTapsError from None
    size = np.array([photo.width_px, photo.height_px])
    pixels = np.array(list(dict.fromkeys(shares)), dtype=np.float64).reshape(-1, 2) * size - 0.5
    return np.asarray(np.clip(pixels, 0.0, size - 1.0), dtype=np.float64)
