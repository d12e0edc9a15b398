"""What markers, lens and print leave open of every height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.profiles.pair.triangulate import meeting_points
from beadcheck.quantity import Component, Scope
from beadcheck.surface import SolvedSurface
from beadcheck.surface.joint import JointSurface
from beadcheck.surface.solved import U_PAPER

Floats = NDArray[np.float64]

PROBE_MM: Final = 2.0
"""Height at which the gain is probed: that of a usual weld."""
BESIDE_MM: Final = (1.0, 6.0)
SIDES: Final = (-1.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightBudget:
    """Shared errors of the heights of one set of photos.

    Attributes
    ----------
    gain, across
        Relative effects on every height, and on every distance across.
    form
        Effects in mm on a height over the levelled base.
    """

    gain: tuple[Component, ...]
    across: tuple[Component, ...]
    form: tuple[Component, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Probe:
    """Places over the weld and beside it, (S,) stations each, and where the photos show them."""

    base: int
    design: Floats
    pixels: tuple[Floats, ...]


def height_budget(
    joint: JointSurface, axis: Axis, s_range_mm: tuple[float, float], half_width_mm: float
) -> HeightBudget:
    """Budget of heights over the weld, levelled on the metal beside it, from the joint fit."""
    probe = _probe(joint.surfaces, axis, s_range_mm, half_width_mm)
    flat, raised = _levelled(joint.surfaces, probe)
    forms, gains = [], []
    for moved in joint.one_sigma():
        flat_now, raised_now = _levelled(moved, probe)
        forms.append(np.sqrt(np.mean((flat_now - flat) ** 2)))
        gains.append(np.mean((raised_now - flat_now) / (raised - flat)) - 1.0)
    surface = joint.surfaces[0]
    print_effects = (
        Component(
            source="print scale of the target",
            standard_uncertainty=surface.scale.u_ratio / surface.scale.ratio,
            scope=Scope.PRINT,
        ),
        Component(
            source="paper in damp or dry air", standard_uncertainty=U_PAPER, scope=Scope.PRINT
        ),
    )
    return HeightBudget(
        gain=(
            *print_effects,
            Component(
                source="angle between the photos, lens and pose",
                standard_uncertainty=float(np.hypot.reduce(gains)),
                scope=Scope.PHOTO,
            ),
        ),
        across=_across(surface, axis, s_range_mm, half_width_mm),
        form=(
            Component(
                source="form of the base, from lens and pose",
                standard_uncertainty=float(np.hypot.reduce(forms)),
                scope=Scope.PHOTO,
            ),
        ),
    )


def _probe(
    surfaces: Sequence[SolvedSurface],
    axis: Axis,
    s_range_mm: tuple[float, float],
    half_width_mm: float,
) -> _Probe:
    stations = np.linspace(*s_range_mm, 7)
    beside = [side * (half_width_mm + away) for side in SIDES for away in BESIDE_MM]
    rows = np.array([*beside, 0.0, 0.0])
    across, s_mm = (grid.ravel() for grid in np.meshgrid(rows, stations, indexing="ij"))
    heights = np.repeat([0.0] * (len(beside) + 1) + [PROBE_MM], stations.size)
    places = axis.to_surface(s_mm, across)
    along = (s_mm - s_mm.mean()) / max(float(np.ptp(stations)), 1.0)
    return _Probe(
        base=len(beside) * stations.size,
        design=np.stack([np.ones_like(s_mm), across, along, along * along], axis=1),
        pixels=tuple(surface.seen_at_px(surface.in_space(places, heights)) for surface in surfaces),
    )


def _levelled(surfaces: Sequence[SolvedSurface], probe: _Probe) -> tuple[Floats, Floats]:
    """Heights over the levelled base of what lies on it, and of what stands `PROBE_MM` above."""
    _, heights = surfaces[0].over_surface(meeting_points(surfaces, probe.pixels))
    fitted, *_ = np.linalg.lstsq(probe.design[: probe.base], heights[: probe.base], rcond=None)
    rest = (heights - probe.design @ fitted)[probe.base :]
    return rest[: rest.size // 2], rest[rest.size // 2 :]


def _across(
    surface: SolvedSurface, axis: Axis, s_range_mm: tuple[float, float], half_width_mm: float
) -> tuple[Component, ...]:
    stations = np.linspace(*s_range_mm, 5)
    ends = [axis.to_surface(stations, np.array([side * half_width_mm])) for side in SIDES]
    width_mm = 2.0 * half_width_mm
    return tuple(
        component.times(1.0 / width_mm) for component in surface.distance_components(*ends)
    )
