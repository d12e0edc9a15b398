"""From two taps on a preview to the weld's line in the full photo."""

import json
import math
from typing import Final

from beadcheck.pipeline import Pointer
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Outcome
from beadcheck_page.refusals import PointsTooCloseError

HELPED_BY_POINTING: Final = frozenset({"no_weld_found", "toes_unsure", "weld_too_short"})
"""Codes of refusals after which the search may succeed once it knows where to look."""

LEAST_SHARE: Final = 0.05
"""Of the photo's diagonal: taps closer together than that show no direction."""
LONGEST_TEXT: Final = 400


def photo_to_point_at(outcome: Outcome | None) -> StoredPhoto | None:
    """First photo whose weld a person could help to find."""
    if outcome is None:
        return None
    for photo, record in zip(outcome.photos, outcome.result.photos, strict=True):
        codes = {problem.code for problem in record.problems}
        if not record.usable and codes & HELPED_BY_POINTING and outcome.from_above(photo):
            return photo
    return None


def pointer(sent: object, photo: StoredPhoto) -> Pointer:
    """Line from the browser's taps, given as shares of the picture's width and height.

    Raises
    ------
    PointsTooCloseError
        The browser sent no two points that show a direction.

    Examples
    --------
    >>> from pathlib import Path
    >>> photo = StoredPhoto(key="k", name="a.jpg", path=Path("a"), preview=Path("p"),
    ...                     thumbnail=Path("t"), width_px=4000, height_px=3000)
    >>> pointer('{"photo": "k", "start": [0.25, 0.5], "end": [0.75, 0.5]}', photo)
    Pointer(start_px=(999.5, 1499.5), end_px=(2999.5, 1499.5))
    """
    ends = _ends(sent, photo.key)
    start_px, end_px = (_pixel(end, photo) for end in ends)
    if math.dist(start_px, end_px) < LEAST_SHARE * math.hypot(photo.width_px, photo.height_px):
        raise PointsTooCloseError
    return Pointer(start_px=start_px, end_px=end_px)


def _ends(sent: object, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
    try:
        if not isinstance(sent, str) or len(sent) > LONGEST_TEXT:
            raise ValueError
        told = json.loads(sent)
        (x0, y0), (x1, y1) = told["start"], told["end"]
        shares = tuple(float(share) for share in (x0, y0, x1, y1))
        if told["photo"] != key or not all(0.0 <= share <= 1.0 for share in shares):
            raise ValueError
    except (ValueError, TypeError, KeyError):
        raise PointsTooCloseError from None
    return (shares[0], shares[1]), (shares[2], shares[3])


def _pixel(share: tuple[float, float], photo: StoredPhoto) -> tuple[float, float]:
    """Pixel under a share of the picture: its edge lies half a pixel before the first centre."""
    return share[0] * photo.width_px - 0.5, share[1] * photo.height_px - 0.5
