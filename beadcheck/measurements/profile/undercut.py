"""Undercut: how far the base metal at a toe lies below the undisturbed base metal."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.measurements.profile.base_lines import BaseLines
from beadcheck.measurements.profile.opened import envelope_at
from beadcheck.measurements.profile.section import (
    Floats,
    Section,
    middle_of,
    picked_excess_mm,
    rectangular,
    smoothed,
)
from beadcheck.measurements.profile.toe import Flank
from beadcheck.measurements.profile.value import (
    SectionValue,
    height_effects,
    nothing_below_zero,
    shared,
    station,
)
from beadcheck.profiles import Profile
from beadcheck.quantity import NotMeasured, QuantityName
from beadcheck.units import Unit

OUTSIDE_MM: Final = 1.5
"""How far outside the toe the bottom of an undercut is sought: grooves are up to 2 or 3 mm wide."""
WINDOW_MM: Final = 0.3
"""Least smoothing of a groove's bottom: less than a third of a groove of 1 mm."""
NOISY_WINDOW_MM: Final = 0.6
CALM_MM: Final = 0.012
FOUND_U: Final = 3.0
FOUND_MM: Final = 0.05
"""Depth that counts as an undercut seen, in standard uncertainties and in mm."""
USUAL_WIDTH_MM: Final = 0.7
"""Width of the groove that must not stay unseen where none is found."""
GREATEST_LOSS: Final = 0.40
"""Part of a groove's depth that averaging may take before only a lower bound is left."""
PARABOLA_TWICE: Final = 32.0
"""Twice w^2 / (d e) of a parabola e whose width w is taken as twice that at half depth."""
RESOLUTION_MM: Final = 0.02
"""Half width of what a line of light or an outline loses in a groove that it resolves."""
FILLED_ON_OUTLINE, FILLED_AT_A_SLANT = 1.2, 1.6
"""How much deeper, relatively, a groove may be at its own station than the outline shows it: an
outline is the highest metal of several mm along the weld, whose toe wavers, and a slant fills more
(renders: the outline shows half of the depth and more, where it shows a clear groove)."""
LEAST_AT_A_SLANT_MM: Final = 0.2
"""Depth of a clear groove; of a lesser one a slant may hide any part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Groove:
    """Bottom of what lies below the base line at one toe."""

    depth_mm: float
    across_mm: float
    width_mm: float
    window_mm: float
    u_noise_mm: float
    excess_mm: float
    found: bool


def undercut_depth(
    section: Section, profile: Profile, lines: BaseLines, flank: Flank
) -> SectionValue | NotMeasured:
    """Depth of the deepest base metal at one toe, below its undisturbed line, in mm.

    Where none is found it is about zero, with an uncertainty that covers what may be there.
    """
    groove = _groove(section, lines, flank)
    if groove is None:
        return _refused(
            f"The base metal at the {flank.side} toe is not seen in this profile.",
            "Keep glare and spatter off the toe, and retake the photo.",
        )
    width = groove.width_mm if groove.found else max(groove.width_mm, USUAL_WIDTH_MM)
    loss = averaged_loss(section.smooth_mm, width)
    if loss > GREATEST_LOSS or (groove.found and groove.width_mm < 3.0 * section.sample_mm):
        return _at_least(
            groove, flank, "This way of measuring averages over more than such a groove."
        )
    depth_mm = groove.depth_mm if groove.found else 0.0
    hidden = not bottom_is_seen(envelope_at(profile, flank.side), width, depth_mm)
    if hidden and not (profile.crests and depth_mm >= LEAST_AT_A_SLANT_MM):
        return _at_least(
            groove, flank, "The outline is seen at a slant that hides the bottom of a groove."
        )
    if profile.crests and not groove.found:
        return _at_least(
            groove,
            flank,
            "An outline shows the highest metal of the few mm of weld that it passes along.",
        )
    filled = (FILLED_AT_A_SLANT if hidden else FILLED_ON_OUTLINE) if profile.crests else 0.0
    return _value(profile, lines, flank, groove, loss=loss, width_mm=width, filled=filled)


def averaged_loss(smooth_mm: float, width_mm: float) -> float:
    """Part of the depth of a rounded groove that averaging takes.

    A groove d (1 + cos(2 pi x / w)) / 2 keeps its mean and loses exp(-2 pi^2 s^2 / w^2) of its
    swing under a normal window of standard deviation s.

    Examples
    --------
    >>> round(averaged_loss(0.1, 1.0), 3)
    0.09
    """
    return 0.5 * (1.0 - math.exp(-2.0 * (math.pi * smooth_mm / width_mm) ** 2))


def bottom_is_seen(envelope_mm: float, width_mm: float, depth_mm: float) -> bool:
    """Tell whether an outline at a slant reaches the bottom of a rounded groove.

    Its bottom has a radius of curvature of w^2 / (2 pi^2 d), which must be wider than the parabola
    by which the outline is dilated. A groove that is not reached shows that parabola itself, over a
    width at half depth that makes 16 of w^2 / (d e); twice that is asked for. Where no depth is
    known, 0.2 mm must not stay unseen.

    Examples
    --------
    >>> bottom_is_seen(0.05, 1.0, 0.5), bottom_is_seen(0.28, 1.0, 0.5)
    (True, False)
    """
    return width_mm**2 >= PARABOLA_TWICE * max(depth_mm, 0.2) * envelope_mm


def _groove(section: Section, lines: BaseLines, flank: Flank) -> _Groove | None:
    outer, inner = sorted(
        (flank.toe_mm + flank.outward * OUTSIDE_MM, flank.toe_mm - flank.outward * 0.3)
    )
    inside = section.between(outer, inner)
    if np.count_nonzero(inside) * section.step_mm < 0.6 * (inner - outer):
        return None
    soft = smoothed(section, WINDOW_MM)
    window = WINDOW_MM
    if middle_of(soft.u_mm[np.isfinite(soft.u_mm)]) > CALM_MM:
        window, soft = NOISY_WINDOW_MM, smoothed(section, NOISY_WINDOW_MM)
    base = lines.of(flank.side)
    below = base.height_at_zero_mm + base.slope * section.x_mm - soft.z_mm
    near = np.where(inside, below, np.nan)
    if not np.isfinite(near).any():
        return None
    at = int(np.nanargmax(near))
    noise = float(soft.u_mm[at])
    depth = float(near[at])
    apart = max(section.independent_mm, 0.5 * window)
    u_base = lines.u_of(flank.side, float(section.x_mm[at]))
    return _Groove(
        depth_mm=depth,
        across_mm=float(section.x_mm[at]),
        width_mm=_narrower_mm(_groove_width_mm(section, below, at), section.smooth_mm),
        window_mm=window,
        u_noise_mm=noise,
        excess_mm=picked_excess_mm(near, at, noise, apart, section.step_mm),
        found=depth > max(FOUND_MM, FOUND_U * math.hypot(noise, u_base)),
    )


def _groove_width_mm(section: Section, below_mm: Floats, at: int) -> float:
    """Twice the width at half depth, which for a V and for a cosine is the width at the top."""
    deep = np.nan_to_num(below_mm, nan=-1.0) > 0.5 * below_mm[at]
    left = right = at
    while left > 0 and deep[left - 1]:
        left -= 1
    while right < len(deep) - 1 and deep[right + 1]:
        right += 1
    return 2.0 * (right - left + 1) * section.step_mm


def _narrower_mm(width_mm: float, smooth_mm: float) -> float:
    """Width of a groove before averaging broadened it (widths of normal curves add in squares)."""
    broadened = 2.0 * 2.355 * smooth_mm
    return math.sqrt(max(width_mm**2 - broadened**2, (0.5 * width_mm) ** 2))


def _lost_in_a_notch_mm(
    depth_mm: float, width_mm: float, window_mm: float, *, smooth_mm: float, envelope_mm: float
) -> float:
    """What averaging and a slant take off the tip of a V groove.

    Its walls have the slope 2 d / w: a normal window takes slope x s sqrt(2 / pi), a parabola
    fitted in a window a tenth of slope x window, a slant 2 d^2 e / w^2.
    """
    slope = 2.0 * depth_mm / width_mm
    averaged = slope * (math.sqrt(2.0 / math.pi) * smooth_mm + 0.1 * window_mm)
    return averaged + 0.5 * slope**2 * envelope_mm


def _value(
    profile: Profile,
    lines: BaseLines,
    flank: Flank,
    groove: _Groove,
    *,
    loss: float,
    width_mm: float,
    filled: float,
) -> SectionValue:
    seen = groove.depth_mm - groove.excess_mm
    rounded = max(0.0, seen) * loss / (1.0 - loss)
    sharp = _lost_in_a_notch_mm(
        max(0.0, seen),
        width_mm,
        groove.window_mm,
        smooth_mm=profile.smooth_mm,
        envelope_mm=envelope_at(profile, flank.side),
    )
    # Whether the groove is rounded or sharp is not known: halfway, and as far to either side.
    lost, doubt = 0.5 * (rounded + sharp), 0.5 * abs(sharp - rounded)
    # Neighbouring metal fills the groove on an outline, by nothing or by much.
    filled_mm = 0.5 * filled * max(0.0, seen + lost)
    depth, budget = nothing_below_zero(
        seen + lost + filled_mm,
        (
            station("heights at the toe", groove.u_noise_mm / (1.0 - loss)),
            station("picking the deepest point", rectangular(groove.excess_mm)),
            station("line of the base metal", lines.u_of(flank.side, groove.across_mm)),
            shared("averaging across the groove", math.hypot(rectangular(doubt), 0.5 * lost)),
            station("weld beside the outline", rectangular(filled_mm)),
            shared("narrowest part of the groove", rectangular(RESOLUTION_MM)),
            *height_effects(profile, groove.depth_mm),
        ),
    )
    return SectionValue(
        name=QuantityName.UNDERCUT_DEPTH,
        value=depth,
        unit=Unit.MM,
        budget=budget,
        side=flank.side,
        across_mm=groove.across_mm if groove.found else None,
    )


def _at_least(groove: _Groove, flank: Flank, why: str) -> NotMeasured:
    found = (
        f"The undercut at the {flank.side} toe is at least {groove.depth_mm:.2f} mm deep; "
        if groove.found
        else f"No undercut shows at the {flank.side} toe, but one may hide there: "
    )
    return _refused(
        f"{found}{why[0].lower()}{why[1:]}",
        "Measure it with a gauge, or take a light-line photo from nearer.",
    )


def _refused(reason: str, how_to: str) -> NotMeasured:
    return NotMeasured(name=QuantityName.UNDERCUT_DEPTH, reason=reason, how_to=how_to)
