"""Light in the photo, looked at on a reduced picture: what to say to the photographer."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.photo.picture import Photo, linear_grey

REDUCED_LONG_SIDE_PX: Final = 400
"""Enough pixels for the shares below, whatever the camera."""

# Limits by trial on photos of steel: common practice, no published source.
DARK_PERCENTILE: Final = 95.0
DARK_LIGHT: Final = 0.06
"""Linear light that even the brighter parts of too dark a photo stay below."""
CLIPPED_CODE: Final = 254
CLIPPED_SHARE: Final = 0.35
"""White paper may clip; steel and target together seldom fill so much."""
FLAT_PERCENTILES: Final = (2.0, 98.0)
FLAT_RATIO: Final = 2.0
"""Ratio of brightest to darkest light below which haze or glare lies over everything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoWarning:
    """Something that makes the photo worse to measure from; the photo is measured all the same."""

    code: str
    message: str


TOO_DARK: Final = PhotoWarning(
    code="too_dark",
    message="The photo is very dark: light the weld from one side with a lamp, and retake it.",
)
WASHED_OUT: Final = PhotoWarning(
    code="washed_out",
    message=(
        "Much of the photo is pure white, so that edges are lost: turn the lamp or the flash away, "
        "or tap the weld on the screen to set the exposure, and retake it."
    ),
)
HAZY: Final = PhotoWarning(
    code="hazy",
    message=(
        "The photo is milky, dark and bright hardly differ: wipe the lens, keep lamps out of the "
        "picture, and retake it."
    ),
)


def photo_warnings(photo: Photo) -> tuple[PhotoWarning, ...]:
    """Warn of a dark, clipped or hazy photo.

    Notes
    -----
    Blur and glare are judged where they count: on the target and on the weld (`photo_advice`).
    """
    step = max(1, max(photo.width_px, photo.height_px) // REDUCED_LONG_SIDE_PX)
    reduced_bgr = np.ascontiguousarray(photo.pixels_bgr[step // 2 :: step, step // 2 :: step])
    light = linear_grey(reduced_bgr)
    darkest, brightest = np.percentile(light, FLAT_PERCENTILES)
    clipped_share = np.mean(reduced_bgr.min(axis=2) >= CLIPPED_CODE)
    if np.percentile(light, DARK_PERCENTILE) < DARK_LIGHT:
        return (TOO_DARK,)
    if clipped_share > CLIPPED_SHARE:
        return (WASHED_OUT,)
    if brightest < FLAT_RATIO * darkest:
        return (HAZY,)
    return ()
