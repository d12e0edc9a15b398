"""Two or more photos of one coupon -> heights over the whole layout."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.errors.profile_pair import (
    DifferentCouponsError,
    InGrooveError,
    MetalNotAlikeError,
    StepNotSeenError,
    StepUnusedError,
    TargetMovedError,
    WeldNotAlikeError,
)
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair.budget import height_budget
from beadcheck.profiles.pair.cells import CELL_MM
from beadcheck.profiles.pair.height_map import HeightMap
from beadcheck.profiles.pair.layout import Layout, laid_out
from beadcheck.profiles.pair.level import UNDER_PAPER_MM, Base, base_of, levelled
from beadcheck.profiles.pair.relief import Relief, relief
from beadcheck.profiles.pair.same_coupon import shows_another
from beadcheck.profiles.pair.step import seen_step, under_step
from beadcheck.profiles.pair.too_coarse import require_fine
from beadcheck.quantity import Component, Scope, combined_standard_uncertainty
from beadcheck.surface import Points
from beadcheck.surface.joint import PairView
from beadcheck.toes import LocatedWeld, Toes

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

IN_GROOVE: Final = frozenset({WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL})
LEAST_METAL_SHARE: Final = 0.1
LEAST_WELD_SHARE: Final = 0.2
"""Where less of the weld has a height, most of what has one owes it to chance: in rendered pairs
looked at in development most of it was wrong up to 0.13, and little from 0.22."""
LEAST_METAL_ALIKE: Final = 0.1
"""Metal that looks less alike may be that of another coupon: its marks are looked for."""
MOST_OFF_MM: Final = 1.5
"""A bowed card alone sets the metal off by 0.8 mm (accuracy study, 2.5)."""
GLIDING: Final = Component(
    source="light that glides over the weld", standard_uncertainty=0.08, scope=Scope.PHOTO
)
"""Light that a weld mirrors glides over it, and dark lines lie in the grooves between ripples: both
look too low, all along a weld. Crowns of 21 rendered coupons never looked at before were off by
0.09 mm, rms, by coupon; two more, of which few sections were read, by 0.28 and 0.49."""
AGREE: Final = 1.5
"""Step and target further apart than this many standard uncertainties contradict: steel is right,
for a printer may have scaled the page."""
CLEAR_MM: Final = 2.6
"""So near the weld no step lies: a section needs some metal there to be levelled on."""
INDEPENDENT_MM2: Final = 5.0
"""Cells within this area share their evidence."""
UNEVEN: Final = 0.3
"""Part of the parent metal's unevenness that neighbouring places have in common (an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Scaling:
    """What heights are multiplied by.

    Attributes
    ----------
    covered
        (R, C) the cells that the step hides.
    notice
        Why a step that was named is not used.
    """

    gain: float
    budget: tuple[Component, ...]
    covered: Mask
    notice: StepUnusedError | None


def pair_heights(
    views: Sequence[PairView],
    *,
    coupon: Coupon,
    weld: LocatedWeld,
    toes: Toes | None = None,
    step: KnownStep | None = None,
) -> HeightMap:
    """Measure height over the whole weld from photos taken from different places.

    Parameters
    ----------
    views
        Two photos or more; stations and pixels are those of the first, to which the others are
        compared.
    weld
        Roughly where it runs, on the first photo's own surface; of no width where there is none
        (`band_along_target`).
    toes
        Of the first photo, where they are known better.
    step
        A known step beside the weld; `place_px` in the first photo.

    Raises
    ------
    ProfileError
        The photos cannot show height together.
    SurfaceError
        The target cannot be solved over all of them.
    """
    if len(views) < 2:
        msg = "heights need two photos or more"
        raise ValueError(msg)
    if coupon.weld_pass in IN_GROOVE:
        raise InGrooveError
    layout = laid_out(views, coupon=coupon, weld=weld, toes=toes)
    require_fine(layout.cells.ground.px_per_mm, layout.apart_deg)
    found, lines = relief(layout), layout.toes
    try:
        base = _base(layout, found)
    except (MetalNotAlikeError, WeldNotAlikeError, TargetMovedError):
        if shows_another(layout.cells, layout.views, layout.joint):
            raise DifferentCouponsError from None
        raise
    # Bands of light on two welds may look alike, and metal lies flat under both.
    by_chance = weld.width_mm > 0.0 and found.metal_alike < LEAST_METAL_ALIKE
    if by_chance and shows_another(layout.cells, layout.views, layout.joint):
        raise DifferentCouponsError
    budget = height_budget(
        layout.joint,
        layout.axis,
        (float(lines.s_mm[0]), float(lines.s_mm[-1])),
        max(0.5 * weld.width_mm, 1.0),
    )
    scaling = _scaling(layout, base, step, budget.gain)
    layout = replace(layout, covered=layout.covered | scaling.covered)
    base = _base(layout, found)
    budget = replace(budget, gain=scaling.budget, form=(*budget.form, GLIDING, _levelling(base)))
    gain = scaling.gain
    height_mm = gain * levelled(found, base, lines)
    height_mm = np.where(layout.covered, np.nan, height_mm)
    return HeightMap(
        axis=layout.axis,
        s_mm=layout.cells.s_mm.copy(),
        across_mm=layout.cells.across_mm.copy(),
        height_mm=height_mm,
        u_height_mm=np.where(np.isnan(height_mm), np.nan, gain * found.u_height_mm),
        gain_budget=budget.gain,
        across_budget=budget.across,
        form_budget=budget.form,
        base_residual_mm=base.residual_mm,
        convergence_deg=layout.apart_deg,
        surface=layout.surface,
        offset_mm=base.height_mm,
        gain=gain,
        notice=scaling.notice,
        toes_mm=np.stack([lines.s_mm, lines.left_mm, lines.right_mm], axis=1)[
            : len(lines.s_mm) if weld.width_mm > 0.0 else 0
        ],
    )


def _base(layout: Layout, found: Relief) -> Base:
    """The parent metal, or a refusal where the photos do not agree about it or the weld."""
    base = base_of(
        found,
        layout.toes,
        layout.covered,
        layout.shown,
        under_paper_mm=UNDER_PAPER_MM if layout.surface.shape is Shape.PLATE else 0.0,
    )
    if base is None or base.alike_share < LEAST_METAL_SHARE:
        share = 0.0 if base is None else base.alike_share
        raise MetalNotAlikeError(100.0 * share, 100.0 * LEAST_METAL_SHARE)
    if abs(base.offset_mm) > MOST_OFF_MM:
        raise TargetMovedError(abs(base.offset_mm), MOST_OFF_MM)
    weld = layout.toes.between(layout.cells) & layout.shown
    if not weld.any():
        return base
    share = float(np.isfinite(found.height_mm[weld]).mean())
    if share < LEAST_WELD_SHARE:
        raise WeldNotAlikeError(100.0 * share, 100.0 * LEAST_WELD_SHARE)
    return base


def _levelling(base: Base) -> Component:
    """The parent metal under the weld, from what is seen beside it."""
    independent = max(1.0, base.cells * CELL_MM[0] * CELL_MM[1] / INDEPENDENT_MM2)
    return Component(
        source="parent metal that heights are levelled on",
        standard_uncertainty=float(
            np.hypot(
                base.residual_mm * (UNEVEN + 1.0 / np.sqrt(independent)),
                base.u_offset_mm,
            )
        ),
        scope=Scope.PHOTO,
    )


def _scaling(
    layout: Layout, base: Base, step: KnownStep | None, by_target: tuple[Component, ...]
) -> _Scaling:
    """Scale by the known step and the target, or by the step alone where they contradict."""
    nothing = np.zeros(layout.cells.shape, dtype=np.bool_)
    if step is None:
        return _Scaling(gain=1.0, budget=by_target, covered=nothing, notice=None)
    place = _place(layout, step)
    if place is None:
        raise StepNotSeenError(step.thickness_mm)
    base_mm = base.at(*place)
    hidden = under_step(
        layout.cells, layout.views, layout.joint, place, base_mm + step.thickness_mm
    ) & ~layout.toes.between(layout.cells, CLEAR_MM)
    try:
        seen = seen_step(layout.views, layout.joint, layout.axis, step, place, base_mm)
    except StepNotSeenError:
        notice = StepUnusedError(step.thickness_mm)
        return _Scaling(gain=1.0, budget=by_target, covered=hidden, notice=notice)
    gain = step.thickness_mm / seen.height_mm
    by_step = tuple(
        Component(source=source, standard_uncertainty=u, scope=Scope.PHOTO)
        for source, u in (
            ("thickness of the known step", step.u_thickness_mm / step.thickness_mm),
            ("height of the known step in the photos", seen.u_height_mm / seen.height_mm),
            ("parent metal under the known step", base.u_offset_mm / seen.height_mm),
        )
    )
    u_step, u_target = (combined_standard_uncertainty(each) for each in (by_step, by_target))
    if abs(gain - 1.0) > AGREE * math.hypot(u_step, u_target):
        return _Scaling(gain=gain, budget=by_step, covered=hidden, notice=None)
    of_step = u_target**2 / (u_step**2 + u_target**2)
    return _Scaling(
        gain=1.0 + of_step * (gain - 1.0),
        budget=(
            *(each.times(of_step) for each in by_step),
            *(each.times(1.0 - of_step) for each in by_target),
        ),
        covered=hidden,
        notice=None,
    )


def _place(layout: Layout, step: KnownStep) -> tuple[float, float] | None:
    """Station and place across of the step's top, as tapped or marked on the target."""
    if step.place_px is not None:
        places: Points = layout.surface.to_mm(np.array([step.place_px], dtype=np.float64))
    else:
        marked = layout.surface.step_outline_mm()
        if marked is None:
            return None
        places = marked.mean(axis=0, keepdims=True)
    s_mm, across_mm = layout.axis.to_weld(places)[0]
    return float(s_mm), float(across_mm)
