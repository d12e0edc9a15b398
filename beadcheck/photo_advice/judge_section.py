"""What harms a photo that shows the weld's section: side-on, or with a line of light."""

from typing import Final

from beadcheck.photo import Photo, photo_warnings
from beadcheck.photo_advice.advice import PhotoAdvice
from beadcheck.photo_advice.glare import glared_markers
from beadcheck.photo_advice.judge import GLARE_ON_TARGET, blurred_photo
from beadcheck.surface import Surface
from beadcheck.target.find import FoundTarget

LEAST_PX_PER_MM: Final = 8.0
"""From here on a tenth of a millimetre is less than a pixel, and a fine undercut hides (an
estimate)."""
MEANT_SO: Final = frozenset({"too_oblique"})
"""Told of a surface that is seen at a flat angle, as a side-on photo must see it."""


def judged_section(
    photo: Photo, *, found: FoundTarget | None, surface: Surface | None
) -> tuple[PhotoAdvice, ...]:
    """Advice on everything that makes a section worse to measure.

    A line of light wants a dim room and an outline a bright background, so that light and dark of
    the whole photo are judged only where they may have hidden the target.
    """
    if found is None:
        hidden = [PhotoAdvice(code=w.code, message=w.message) for w in photo_warnings(photo)]
        return (*hidden, *blurred_photo(photo))
    advice = [GLARE_ON_TARGET] if glared_markers(photo, found) else []
    if surface is not None:
        advice += [
            PhotoAdvice(code=warning.code, message=warning.message)
            for warning in surface.warnings
            if warning.code not in MEANT_SO
        ]
        if surface.px_per_mm < LEAST_PX_PER_MM:
            advice.append(_too_far(surface.px_per_mm))
    return tuple(advice)


def _too_far(px_per_mm: float) -> PhotoAdvice:
    return PhotoAdvice(
        code="too_far",
        message=(
            f"The photo is taken from too far: it shows {px_per_mm:.1f} px per mm, and heights "
            f"need {LEAST_PX_PER_MM:g}; come closer until weld and target fill the picture."
        ),
    )
