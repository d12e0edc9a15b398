"""What a solved surface must fulfil, and what its user is told."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from beadcheck.coupon import Shape
from beadcheck.errors.bore import BoreTooObliqueError
from beadcheck.errors.surface import (
    TargetBowedError,
    TargetLiftedError,
    TargetUnevenError,
    TooObliqueError,
    WeldNotInTargetPlaneError,
)
from beadcheck.surface.calibrated import by_photo_alone
from beadcheck.surface.contract import SurfaceWarning
from beadcheck.surface.lie import Stand
from beadcheck.surface.model import BOWS, RADIUS
from beadcheck.surface.prior import Prior
from beadcheck.surface.solved import SolvedSurface

LOWEST_VIEW_DEG: Final = 30.0
"""Least angle between line of sight and surface for visual testing (ISO 17637)."""
PATTERN_TO_TELL_PX: Final = 0.10
PATTERN_TO_REFUSE_PX: Final = 0.30
GATE_PX_PER_MM: Final = 15.0
"""The gates in px hold for photos of this scale; an unevenness in mm shows in proportion."""
BOW_TO_TELL_MM: Final = 0.15
BOW_TO_REFUSE_MM: Final = 1.0
GAP_TO_TELL_MM: Final = 0.3
"""Twice what a photo of a flat target shows by chance."""
GAP_TO_REFUSE_MM: Final = 1.0
"""As for a bow: the weld's own plane is known no better than by half of it."""
STEP_MM: Final = 2.0
STEP_DEG: Final = 3.0
"""From here on no paper is lifted: its pieces lie on different things (our estimate)."""
SURE_OF_BOW: Final = 1.7
"""One-sided 95 %: better a card pressed flat for nothing."""
SURE_OF_DIAMETER: Final = 3.0


def checked(surface: SolvedSurface, prior: Prior, stands: Sequence[Stand] = ()) -> SolvedSurface:
    """The surface with its warnings.

    Parameters
    ----------
    stands
        How further pieces stand over the first one's plane.

    Raises
    ------
    SurfaceError
        It cannot be trusted.
    """
    lifted = _lifted(stands)
    scaled = surface.px_per_mm / GATE_PX_PER_MM
    limit_px = PATTERN_TO_REFUSE_PX * max(1.0, scaled)
    if surface.pattern_px > limit_px:
        raise TargetUnevenError(surface.pattern_px, limit_px)
    # Pieces that stand off each other look bowed in one plane: the cause is told, not its guise.
    lie = lifted or _bow(surface, prior)
    warnings = [*_view(surface), *lie, *_diameter(surface, prior)]
    if not warnings and surface.pattern_px > PATTERN_TO_TELL_PX * min(1.0, scaled):
        warnings.append(
            SurfaceWarning(
                code="target_uneven",
                message=f"The markers miss their places by {surface.pattern_px:.2f} px: press the "
                "target flat on the metal.",
            )
        )
    return replace(surface, warnings=tuple(warnings))


def _lifted(stands: Sequence[Stand]) -> list[SurfaceWarning]:
    """Refuse pieces in different planes; tell one that stands a little off."""
    worst = max(stands, key=lambda stand: stand.gap_mm, default=None)
    if worst is None or worst.gap_mm <= GAP_TO_TELL_MM:
        return []
    if worst.gap_mm > GAP_TO_REFUSE_MM:
        if worst.tilt_deg > STEP_DEG or abs(worst.height_mm) > STEP_MM:
            raise WeldNotInTargetPlaneError(worst.gap_mm, worst.tilt_deg)
        raise TargetLiftedError(worst.gap_mm, GAP_TO_REFUSE_MM)
    message = (
        f"One piece of the target stands about {worst.gap_mm:.1f} mm off the plane of the other: "
        "press both flat on the metal."
    )
    return [SurfaceWarning(code="target_lifted", message=message)]


def _view(surface: SolvedSurface) -> list[SurfaceWarning]:
    view_deg = float(surface.seen_at_deg(surface.model.pivot_mm[None])[0])
    if view_deg >= LOWEST_VIEW_DEG:
        return []
    if surface.bore_mm is not None:
        raise BoreTooObliqueError(view_deg, LOWEST_VIEW_DEG)
    if surface.shape is Shape.PLATE:
        raise TooObliqueError(view_deg, LOWEST_VIEW_DEG)
    message = (
        f"The target is seen at {view_deg:.0f}° to the pipe's surface: hold the camera more "
        "nearly square over it."
    )
    return [SurfaceWarning(code="too_oblique", message=message)]


def _bow(surface: SolvedSurface, prior: Prior) -> list[SurfaceWarning]:
    """Refuse a strongly bowed card; tell a bow that the photo itself shows."""
    worst_mm = 0.0
    for number in range(len(surface.model.parts)):
        part = surface.model.part_slice(number)
        for place in range(part.start + BOWS.start, part.start + BOWS.stop):
            if prior.u[place] > 0.0:
                bow_mm, u_mm = by_photo_alone(surface, place, float(prior.u[place]))
                if abs(bow_mm) > max(BOW_TO_TELL_MM, SURE_OF_BOW * u_mm):
                    worst_mm = max(worst_mm, bow_mm, key=abs)
    if abs(worst_mm) > BOW_TO_REFUSE_MM:
        raise TargetBowedError(abs(worst_mm), BOW_TO_REFUSE_MM)
    if worst_mm == 0.0:
        return []
    raised = "its middle stands up" if worst_mm > 0.0 else "its ends curl up"
    message = (
        f"The target is bowed, {raised} by about {abs(worst_mm):.1f} mm: press it flat on the "
        "metal."
    )
    return [SurfaceWarning(code="target_bowed", message=message)]


def _diameter(surface: SolvedSurface, prior: Prior) -> list[SurfaceWarning]:
    """Tell when the photo contradicts the entered outside diameter."""
    if surface.model.radius_mm is None or prior.u[RADIUS] == 0.0:
        return []
    shift, u_shift = by_photo_alone(surface, RADIUS, float(prior.u[RADIUS]))
    if abs(shift) <= SURE_OF_DIAMETER * math.hypot(u_shift, prior.u[RADIUS]):
        return []
    entered_mm = 2.0 * abs(surface.model.radius_mm)
    what, which = ("pipe", "outside diameter") if surface.bore_mm is None else ("bore", "wall")
    message = (
        f"The markers fit a {what} of {entered_mm * math.exp(shift):.1f} mm better than the "
        f"{entered_mm:.1f} mm entered: wrap the strip tight, and check the {which} and "
        "the print scale."
    )
    return [SurfaceWarning(code="diameter_or_print_scale", message=message)]
