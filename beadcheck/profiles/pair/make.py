"""Two or more photos of one coupon -> heights over the whole field."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors.profile_pair import (
    DifferentTargetsError,
    InGrooveError,
    MetalNotAlikeError,
    SameViewpointError,
    StepNotSeenError,
    TargetMovedError,
    ViewsTooFarApartError,
    WeldMirrorsError,
    WeldNotAlikeError,
)
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.profiles.pair.budget import HeightBudget, height_budget
from beadcheck.profiles.pair.cells import CELL_MM
from beadcheck.profiles.pair.field import Field, field_of, toe_lines
from beadcheck.profiles.pair.height_map import HeightMap
from beadcheck.profiles.pair.level import Base, base_of, without_objects
from beadcheck.profiles.pair.step import seen_step
from beadcheck.profiles.pair.triangulate import convergence_deg
from beadcheck.quantity import Component, Scope
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
LEAST_WELD_SHARE: Final = 0.03
MOST_OFF_MM: Final = 1.5
"""A bowed card alone sets the metal off by 0.8 mm (accuracy study, 2.5)."""
MOST_GLOSS: Final = 0.85
"""A weld on which light and dark differ more is a mirror: what it shows lies behind it."""
MATT: Final = 0.25
"""Gloss of a weld on which hardly any light glides."""
U_MATT_MM: Final = 0.06
U_PER_GLOSS_MM: Final = 0.4
"""Both as heights on renders are off, whose gloss is known."""
INDEPENDENT_MM2: Final = 5.0
"""Cells within this area share their evidence."""
UNEVEN: Final = 0.3
"""Part of the parent metal's unevenness that neighbouring places have in common (an estimate)."""


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
    base = _base(field)
    height_mm = field.relief.height_mm - base.height_mm
    height_mm = np.where(field.covered | ~field.shown, np.nan, height_mm)
    budget = height_budget(
        joint, axis, (float(lines.s_mm[0]), float(lines.s_mm[-1])), max(0.5 * weld.width_mm, 1.0)
    )
    budget = replace(budget, form=(*budget.form, _gliding(field), _levelling(base)))
    gain, budget = _scaled(field, base, step, budget)
    height_mm = without_objects(gain * height_mm, field.cells, lines)
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
    base = base_of(field.relief, field.toes, field.covered, field.shown)
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


def _gliding(field: Field) -> Component:
    """Light mirrored by the weld seems to lie behind its surface."""
    return Component(
        source="light that glides over a shiny weld",
        standard_uncertainty=U_MATT_MM + U_PER_GLOSS_MM * max(0.0, field.gloss - MATT),
        scope=Scope.PHOTO,
    )


def _levelling(base: Base) -> Component:
    """The parent metal under the weld, from what is seen beside it."""
    independent = max(1.0, base.cells * CELL_MM[0] * CELL_MM[1] / INDEPENDENT_MM2)
    return Component(
        source="parent metal that heights are levelled on",
        standard_uncertainty=base.residual_mm * (UNEVEN + 1.0 / float(np.sqrt(independent))),
        scope=Scope.PHOTO,
    )


def _scaled(
    field: Field, base: Base, step: KnownStep | None, budget: HeightBudget
) -> tuple[float, HeightBudget]:
    """What heights are multiplied by, and their budget, with the known step where there is one."""
    if step is None:
        return 1.0, budget
    place = _place(field, step)
    if place is None:
        raise StepNotSeenError(step.thickness_mm)
    seen = seen_step(field.views, field.joint, field.axis, step, place, base.at(*place))
    gain = step.thickness_mm / seen.height_mm
    effects = (
        ("thickness of the known step", step.u_thickness_mm / step.thickness_mm),
        ("height of the known step in the photos", seen.u_height_mm / seen.height_mm),
    )
    components = tuple(
        Component(source=source, standard_uncertainty=u, scope=Scope.PHOTO) for source, u in effects
    )
    return gain, replace(budget, gain=components)


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
