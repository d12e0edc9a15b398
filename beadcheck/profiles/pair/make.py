"""Two or more photos of one coupon -> heights over the whole field."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.errors.profile_pair import (
    DifferentCouponsError,
    DifferentTargetsError,
    InGrooveError,
    MetalNotAlikeError,
    SameViewpointError,
    StepNotSeenError,
    StepUnusedError,
    TargetMovedError,
    ViewsTooFarApartError,
    WeldMirrorsError,
    WeldNotAlikeError,
)
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair.budget import height_budget
from beadcheck.profiles.pair.cells import CELL_MM
from beadcheck.profiles.pair.field import Field, field_of, toe_lines
from beadcheck.profiles.pair.height_map import HeightMap
from beadcheck.profiles.pair.level import UNDER_PAPER_MM, Base, base_of, levelled
from beadcheck.profiles.pair.same_coupon import shows_another
from beadcheck.profiles.pair.step import seen_step, under_step
from beadcheck.profiles.pair.too_coarse import require_fine
from beadcheck.profiles.pair.triangulate import convergence_deg
from beadcheck.quantity import Component, Scope, combined_standard_uncertainty
from beadcheck.surface import Points, SolvedSurface
from beadcheck.surface.joint import JointSurface, PairView, solve_together
from beadcheck.toes import LocatedWeld, Toes

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_APART_DEG: Final = 6.0
MOST_APART_DEG: Final = 35.0
"""Below, a pixel of mismatch is worth half a millimetre; above, metal looks too different."""
IN_GROOVE: Final = frozenset({WeldPass.ROOT, WeldPass.SECOND, WeldPass.FILL})
LEAST_METAL_SHARE: Final = 0.1
LEAST_WELD_SHARE: Final = 0.2
"""Where less of the weld has a height, most of what has one owes it to chance: in rendered pairs
looked at in development most of it was wrong up to 0.13, and little from 0.22."""
MOST_OFF_MM: Final = 1.5
"""A bowed card alone sets the metal off by 0.8 mm (accuracy study, 2.5)."""
MOST_GLOSS: Final = 0.85
"""A weld on which light and dark differ more is a mirror: what it shows lies behind it."""
GLIDING: Final = Component(
    source="light that glides over the weld", standard_uncertainty=0.08, scope=Scope.PHOTO
)
"""Light that a weld mirrors glides over it, and dark lines lie in the grooves between ripples: both
look too low. Crowns of eight rendered pairs looked at in development were off by 0.07 mm, rms, with
exact geometry and base."""
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
    joint, used, apart_deg = _usable(views, coupon, weld)
    axis = _moved_axis(weld.axis, views[0].surface, joint.surfaces[0])
    lines = toe_lines(weld, toes, axis, joint.surfaces[0])
    field = field_of(used, joint, weld, lines, axis)
    try:
        base = _base(field)
    except (MetalNotAlikeError, WeldNotAlikeError, WeldMirrorsError, TargetMovedError):
        require_fine(field.cells.ground.px_per_mm, apart_deg)
        if shows_another(field.cells, used, joint):
            raise DifferentCouponsError from None
        raise
    budget = height_budget(
        joint, axis, (float(lines.s_mm[0]), float(lines.s_mm[-1])), max(0.5 * weld.width_mm, 1.0)
    )
    scaling = _scaling(field, base, step, budget.gain)
    field = replace(field, covered=field.covered | scaling.covered)
    base = _base(field)
    budget = replace(budget, gain=scaling.budget, form=(*budget.form, GLIDING, _levelling(base)))
    gain = scaling.gain
    height_mm = gain * levelled(field.relief, base, lines)
    height_mm = np.where(field.covered | ~field.shown, np.nan, height_mm)
    return HeightMap(
        axis=axis,
        s_mm=field.cells.s_mm.copy(),
        across_mm=field.cells.across_mm.copy(),
        height_mm=height_mm,
        u_height_mm=np.where(np.isnan(height_mm), np.nan, gain * field.relief.u_height_mm),
        gain_budget=budget.gain,
        across_budget=budget.across,
        form_budget=budget.form,
        base_residual_mm=base.residual_mm,
        convergence_deg=apart_deg,
        surface=field.surface,
        offset_mm=base.height_mm,
        gain=gain,
        notice=scaling.notice,
        toes_mm=np.stack([lines.s_mm, lines.left_mm, lines.right_mm], axis=1)[
            : len(lines.s_mm) if weld.width_mm > 0.0 else 0
        ],
    )


def _usable(
    views: Sequence[PairView], coupon: Coupon, weld: LocatedWeld
) -> tuple[JointSurface, tuple[PairView, ...], float]:
    """The photos that go with the first one, solved together, and the widest angle between them."""
    names = [view.found.design.name for view in views]
    for name in names[1:]:
        if name != names[0]:
            raise DifferentTargetsError(names[0], name)
    joint = solve_together(views, coupon)
    middle = weld.axis.to_surface(np.array([float(np.mean(weld.s_range_mm))]), np.array([0.0]))
    apart = [convergence_deg(joint.surfaces[0], other, middle) for other in joint.surfaces[1:]]
    fitting = [LEAST_APART_DEG <= angle <= MOST_APART_DEG for angle in apart]
    if not any(fitting):
        if min(apart) > MOST_APART_DEG:
            raise ViewsTooFarApartError(min(apart), MOST_APART_DEG)
        raise SameViewpointError(
            max(angle for angle in apart if angle < LEAST_APART_DEG), LEAST_APART_DEG
        )
    if not all(fitting):
        kept = [view for view, fits in zip(views, (True, *fitting), strict=True) if fits]
        return _usable(kept, coupon, weld)
    return joint, tuple(views), max(apart)


def _moved_axis(axis: Axis, start: SolvedSurface, end: SolvedSurface) -> Axis:
    """The axis on the surface that was solved from all photos: where the first photo shows it."""
    ends = axis.to_surface(np.array([0.0, 50.0]), np.array([0.0]))
    origin, ahead = end.to_mm(start.to_px(ends))
    if not np.isfinite([origin, ahead]).all() or start.model.radius_mm is not None:
        return axis
    along = (ahead - origin) / np.hypot(*(ahead - origin))
    turn = np.sign(axis.direction[0] * axis.across[1] - axis.direction[1] * axis.across[0])
    return Axis(
        origin_mm=(float(origin[0]), float(origin[1])),
        direction=(float(along[0]), float(along[1])),
        across=(float(-turn * along[1]), float(turn * along[0])),
    )


def _base(field: Field) -> Base:
    """The parent metal, or a refusal where the photos do not agree about it or the weld."""
    base = base_of(
        field.relief,
        field.toes,
        field.covered,
        field.shown,
        under_paper_mm=UNDER_PAPER_MM if field.surface.shape is Shape.PLATE else 0.0,
    )
    if base is None or base.alike_share < LEAST_METAL_SHARE:
        share = 0.0 if base is None else base.alike_share
        raise MetalNotAlikeError(100.0 * share, 100.0 * LEAST_METAL_SHARE)
    if abs(base.offset_mm) > MOST_OFF_MM:
        raise TargetMovedError(abs(base.offset_mm), MOST_OFF_MM)
    weld = field.toes.between(field.cells) & field.shown
    if not weld.any():
        return base
    if field.gloss > MOST_GLOSS:
        raise WeldMirrorsError
    share = float(np.isfinite(field.relief.height_mm[weld]).mean())
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
    field: Field, base: Base, step: KnownStep | None, by_target: tuple[Component, ...]
) -> _Scaling:
    """Scale by the known step and the target, or by the step alone where they contradict."""
    nothing = np.zeros(field.cells.shape, dtype=np.bool_)
    if step is None:
        return _Scaling(gain=1.0, budget=by_target, covered=nothing, notice=None)
    place = _place(field, step)
    if place is None:
        raise StepNotSeenError(step.thickness_mm)
    base_mm = base.at(*place)
    hidden = under_step(
        field.cells, field.views, field.joint, place, base_mm + step.thickness_mm
    ) & ~field.toes.between(field.cells, CLEAR_MM)
    try:
        seen = seen_step(field.views, field.joint, field.axis, step, place, base_mm)
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


def _place(field: Field, step: KnownStep) -> tuple[float, float] | None:
    """Station and place across of the step's top, as tapped or marked on the target."""
    if step.place_px is not None:
        places: Points = field.surface.to_mm(np.array([step.place_px], dtype=np.float64))
    else:
        marked = field.surface.step_outline_mm()
        if marked is None:
            return None
        places = marked.mean(axis=0, keepdims=True)
    s_mm, across_mm = field.axis.to_weld(places)[0]
    return float(s_mm), float(across_mm)
