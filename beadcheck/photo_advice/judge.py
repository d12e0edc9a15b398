"""What a photo's light, sharpness, scale and target are worth, once they are known."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap, bead_map
from beadcheck.photo import Photo, linear_grey, photo_warnings
from beadcheck.photo_advice.advice import PhotoAdvice
from beadcheck.photo_advice.glare import glared_markers, glared_share
from beadcheck.photo_advice.sharpness import edge_blur_px
from beadcheck.surface import Surface
from beadcheck.surface.unscaled import UnscaledSurface
from beadcheck.target.find import FoundTarget
from beadcheck.toes import FollowedWeld, LocatedWeld

STRIP_PX: Final = 32.0
"""Pixels over the weld's width when its light is looked at."""
STRIP_WIDTHS: Final = 0.7
"""How far the strip reaches to either side of the weld's middle, in weld widths."""
PATCHES: Final = 5
PATCH_PX: Final = (64, 320)
"""Patches of this size along the weld tell its blur."""

# Limits by trial on renders and on 161 real photos of stainless welds; no published source.
BLUR_MM: Final = 0.25
"""Blur at the markers. With 0.2 mm of blur laid over them, 3 of 33 measured renders were refused
and 7 of 29 lost their ripples; with 0.3 mm, 7 and 15."""
BLUR_WIDTHS: Final = 0.03
"""Blur at the weld's own edges, in weld widths: the same for a usual bead of 8 mm."""
SHARP_PX: Final = 1.5
"""No sharper photo can be wanted: 98 of 100 real ones have a blur of at most 1.2 px, and what is
small in them was taken from too far."""
BLUR_OF_LONG_SIDE: Final = 0.0025
"""Blur of the middle of a photo in which neither target nor weld is found, over its long side."""
DARK_PERCENTILE: Final = 90.0
DARK_LIGHT: Final = 0.03
"""Linear light that even the brighter parts of too dark a weld stay below; the darkest of the real
photos reaches 0.05, the darkest of 36 renders 0.08."""
GLARED_SHARE: Final = 0.15
"""Of the weld's length; no real photo reaches a third of it."""
LEAST_PX_PER_MM: Final = 5.5
"""Of 36 renders 31 were measured at 6 px/mm, 24 at 5 and 11 at 4; ripples and pulses, at 4 px a
spacing, want less than toes do."""
LEAST_WIDTH_PX: Final = 44.0
"""The same for a usual bead of 8 mm where no target gives a scale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldFace:
    """Roughly where the weld lies on the surface."""

    axis: Axis
    s_range_mm: tuple[float, float]
    width_mm: float

    @classmethod
    def of(cls, weld: LocatedWeld | FollowedWeld) -> "WeldFace":
        """Take the place of a weld that was located, or followed."""
        if isinstance(weld, LocatedWeld):
            return cls(axis=weld.axis, s_range_mm=weld.s_range_mm, width_mm=weld.width_mm)
        return cls(
            axis=weld.bead.axis, s_range_mm=weld.traced.core_mm, width_mm=weld.traced.width_mm
        )


def judged_photo(
    photo: Photo,
    *,
    found: FoundTarget | None = None,
    surface: Surface | None = None,
    weld: WeldFace | None = None,
) -> tuple[PhotoAdvice, ...]:
    """Advice on everything that makes the photo worse to measure from.

    Parameters
    ----------
    found, surface, weld
        As far as they are known: what needs them is not judged without.
    """
    advice = [PhotoAdvice(code=w.code, message=w.message) for w in photo_warnings(photo)]
    if found is not None and glared_markers(photo, found):
        advice.append(GLARE_ON_TARGET)
    if surface is None:
        if found is None:
            advice += blurred_photo(photo)
        return tuple(advice)
    advice += [PhotoAdvice(code=w.code, message=w.message) for w in surface.warnings]
    has_scale = not isinstance(surface, UnscaledSurface)
    blurred = has_scale and surface.blur_px > max(SHARP_PX, BLUR_MM * surface.px_per_mm)
    if has_scale and surface.px_per_mm < LEAST_PX_PER_MM:
        advice.append(
            _too_far(
                f"{surface.px_per_mm:.1f} px per mm",
                f"{LEAST_PX_PER_MM:g}",
                filling="weld and target fill",
            )
        )
    if weld is not None:
        width_px = _width_px(surface, weld)
        if not has_scale and width_px < LEAST_WIDTH_PX:
            advice.append(
                _too_far(
                    f"a weld {width_px:.0f} px wide",
                    f"{LEAST_WIDTH_PX:g} px",
                    filling="the weld fills",
                )
            )
        blur_px = edge_blur_px(_patches(photo, surface, weld, width_px))
        blurred |= blur_px is not None and blur_px > max(SHARP_PX, BLUR_WIDTHS * width_px)
        advice += _light(photo, surface, weld)
    if blurred:
        advice.append(BLURRED)
    return tuple(advice)


def _light(photo: Photo, surface: Surface, weld: WeldFace) -> list[PhotoAdvice]:
    """What is wrong with the light on the weld face."""
    strip = _strip(photo, surface, weld)
    face = np.abs(strip.across_mm) <= 0.5 * weld.width_mm
    light = linear_grey(np.ascontiguousarray(strip.bgr[face]))[strip.seen[face]]
    if light.size == 0:
        return []
    if np.percentile(light, DARK_PERCENTILE) < DARK_LIGHT:
        return [DARK_WELD]
    glared = glared_share(strip, width_mm=weld.width_mm) > GLARED_SHARE
    return [GLARE_ON_WELD] if glared else []


DARK_WELD: Final = PhotoAdvice(
    code="too_dark",
    message=(
        "The weld lies in the dark: light it from one side with a lamp, tap it on the screen to "
        "set the exposure, and retake the photo."
    ),
)
GLARE_ON_TARGET: Final = PhotoAdvice(
    code="glare_on_target",
    message=(
        "Glare washes out part of the target: turn the lamp, or shade the target with a sheet of "
        "paper, until its black squares look black, and retake the photo."
    ),
)
GLARE_ON_WELD: Final = PhotoAdvice(
    code="glare_on_weld",
    message=(
        "Glare hides part of the weld face: turn the lamp or the flash away, or hold thin white "
        "paper before the lamp, and retake the photo."
    ),
)
BLURRED: Final = PhotoAdvice(
    code="blurred",
    message=(
        "The photo is blurred: rest the phone on something, tap the weld on the screen to focus, "
        "and retake it."
    ),
)


def _too_far(shown: str, needed: str, *, filling: str) -> PhotoAdvice:
    return PhotoAdvice(
        code="too_far",
        message=(
            f"The photo is taken from too far: it shows {shown}, and width and ripples need "
            f"{needed}; come closer until {filling} the picture."
        ),
    )


def blurred_photo(photo: Photo) -> tuple[PhotoAdvice, ...]:
    """Advice on a photo that is blurred in its middle, where nothing else is known of it."""
    half, row, column = PATCH_PX[1], photo.height_px // 2, photo.width_px // 2
    middle = photo.pixels_bgr[
        max(0, row - half) : row + half, max(0, column - half) : column + half
    ]
    blur_px = edge_blur_px([middle])
    longest_px = max(photo.width_px, photo.height_px)
    blurred = blur_px is not None and blur_px > BLUR_OF_LONG_SIDE * longest_px
    return (BLURRED,) if blurred else ()


def _width_px(surface: Surface, weld: WeldFace) -> float:
    """Width of the weld in the photo, in px, at the middle of its length."""
    middle_mm = np.array([0.5 * sum(weld.s_range_mm)])
    half_mm = 0.5 * weld.width_mm
    left, right = (
        surface.to_px(weld.axis.to_surface(middle_mm, np.array([across_mm])))[0]
        for across_mm in (-half_mm, half_mm)
    )
    width_px = float(np.hypot(*(right - left)))
    return width_px if np.isfinite(width_px) else weld.width_mm * surface.px_per_mm


def _patches(
    photo: Photo, surface: Surface, weld: WeldFace, width_px: float
) -> list[NDArray[np.uint8]]:
    """Squares of the photo's own pixels along the weld, toes included."""
    first, last = weld.s_range_mm
    shares = (np.arange(PATCHES) + 0.5) / PATCHES
    middles = surface.to_px(weld.axis.to_surface(first + shares * (last - first), np.array([0.0])))
    half = round(0.5 * float(np.clip(1.4 * width_px, *PATCH_PX)))
    patches = []
    for x, y in middles[np.isfinite(middles).all(axis=1)]:
        column, row = round(float(x)), round(float(y))
        rows = slice(max(0, row - half), max(0, row + half))
        columns = slice(max(0, column - half), max(0, column + half))
        patches.append(photo.pixels_bgr[rows, columns])
    return patches


def _strip(photo: Photo, surface: Surface, weld: WeldFace) -> BeadMap:
    """The weld laid straight, a few pixels over its width: enough to see where it is burnt out."""
    reach_mm = STRIP_WIDTHS * weld.width_mm
    return bead_map(
        photo,
        surface,
        weld.axis,
        s_range_mm=weld.s_range_mm,
        across_range_mm=(-reach_mm, reach_mm),
        px_per_mm=min(surface.px_per_mm, STRIP_PX / weld.width_mm),
    )
