"""A solved surface: places, angles and the budget of a distance."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Shape
from beadcheck.quantity import Component, Scope
from beadcheck.surface.contract import Points, PrintScale, SurfaceWarning
from beadcheck.surface.fit import numeric_jacobian
from beadcheck.surface.model import EDGE, LIFT, RADIUS, Model
from beadcheck.surface.print_frame import PartKey
from beadcheck.units import wrapped_degrees

Floats = NDArray[np.float64]

U_PAPER: Final = 0.001 / math.sqrt(3.0)
"""Relative: paper grows by up to 0.1 % between dry and damp air, rectangular (an estimate)."""
U_PER_MM_UNEVEN: Final = 0.075 / math.sqrt(3.0)
"""Relative error of a distance per mm of unexplained pattern: 0.5 % per px at 15 px/mm."""
SCOPES: Final = (Scope.PRINT, Scope.PRINT, Scope.PHOTO, Scope.PHOTO, Scope.PHOTO, Scope.PHOTO)
STEP_MM: Final = 1e-3
FAR_TOE: Final = "far toe behind the crown of the root"
U_FAR_TOE_MM: Final = 0.3 / math.sqrt(3.0)
"""At 45 degrees; rectangular. On a render of a root 1.2 mm high, seen at 53 degrees, the width came
out 0.2 mm too small (an estimate)."""
LEAST_SLANT_DEG: Final = 20.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolvedSurface:
    """A `Surface` (see there) solved from one photo.

    Attributes
    ----------
    warnings
        Code and message of what makes the measurement worse than it could be.
    pattern_px
        The systematic part of `residual_px`, which a bent target leaves.
    part_keys, reference
        What each rigid part of the model is, and which of them gives the surface's frame.
    outlines_mm
        Rigid part and corners of each patch of paper, in the frame of the print.
    step_mm
        Rigid part and corners of the place marked for a known step, likewise; None without one.
    below_mm
        How far below the bare metal's surface everything lies whose pixels and places are asked
        for: places are those of the surface, straight above.
    """

    model: Model
    parameters: Floats
    covariance: Floats
    free: NDArray[np.intp]
    residual_px: float
    pattern_px: float
    blur_px: float
    scale: PrintScale
    outlines_mm: tuple[tuple[int, Points], ...]
    clock_zero_mm: float | None
    clock_sense: int
    warnings: tuple[SurfaceWarning, ...] = ()
    step_mm: tuple[int, Points] | None = None
    part_keys: tuple[PartKey, ...] = ()
    reference: int = 0
    below_mm: float = 0.0

    def __post_init__(self) -> None:
        count = self.model.parameter_count
        if self.parameters.shape != (count,) or self.covariance.shape != (count, count):
            msg = "parameters and their covariance must fit the model"
            raise ValueError(msg)
        for array in (self.parameters, self.covariance, self.free):
            array.flags.writeable = False

    @property
    def shape(self) -> Shape:
        """Plate or pipe."""
        return Shape.PLATE if self.model.radius_mm is None else Shape.PIPE

    @property
    def calibration(self) -> str | None:
        """Name and date of the stored calibration of the camera; None where none was used."""
        return self.model.camera.calibration

    @property
    def outside_diameter_mm(self) -> float | None:
        """Outside diameter as solved; None on plate, and in a bore."""
        radius_mm = self.model.radius_of(self.parameters)
        return 2.0 * radius_mm if 0.0 < radius_mm < math.inf else None

    @property
    def bore_mm(self) -> float | None:
        """Diameter of the bore as solved, where the surface is the inside of a pipe; else None."""
        radius_mm = self.model.radius_of(self.parameters)
        return -2.0 * radius_mm if radius_mm < 0.0 else None

    @property
    def px_per_mm(self) -> float:
        """Photo pixels per mm, across and along averaged, at the middle of the target."""
        middle = self.model.pivot_mm
        places = self.model.surface_pixels(
            self.parameters, middle + 0.5 * np.array([[1, 0], [-1, 0], [0, 1], [0, -1]])
        )
        steps = np.hypot(*(places[::2] - places[1::2]).T)
        return float(steps.mean())

    @property
    def tilt_deg(self) -> float:
        """Angle between the optical axis and the surface normal at the middle of the target."""
        return float(np.degrees(np.arccos(self.model.rotation_of(self.parameters)[2, 2])))

    @property
    def distance_mm(self) -> float:
        """Distance from the lens to the middle of the target."""
        return float(np.linalg.norm(self.model.eye_mm(self.parameters)))

    def to_px(self, points_mm: Points) -> Points:
        """Photo pixels of surface points; NaN where the camera cannot see them."""
        points_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        space = self.model.space(self.parameters, points_mm, -self.below_mm)
        camera_mm = self.model.to_camera(self.parameters, space)
        seen = self.model.within_lens(self.parameters, camera_mm)
        seen &= self._sines(points_mm, space) > 0.0
        camera_mm[~seen] = np.nan
        return self.model.pixels(self.parameters, camera_mm)

    def to_mm(self, points_px: Points) -> Points:
        """Surface points of photo pixels; NaN where the line of sight misses the surface."""
        points_px = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
        return self.model.surface_points(self.parameters, points_px, -self.below_mm)

    def seen_at_deg(self, points_mm: Points) -> Floats:
        """Angle between the line of sight and the surface: 90 is square on, negative is hidden."""
        points_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        space = self.model.space(self.parameters, points_mm, -self.below_mm)
        sines = self._sines(points_mm, space)
        return np.asarray(np.degrees(np.arcsin(np.clip(sines, -1.0, 1.0))))

    def clock_deg(self, points_mm: Points) -> Floats:
        """Clock position, degrees; NaN on plate or without a 12 o'clock mark."""
        points_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        diameter_mm = self.outside_diameter_mm or self.bore_mm
        if diameter_mm is None or self.clock_zero_mm is None:
            return np.full(len(points_mm), np.nan)
        arc_mm = points_mm[:, 0] - self._on_metal(np.array([[self.clock_zero_mm, 0.0]]))[0, 0]
        turn = self.clock_sense * arc_mm / (np.pi * diameter_mm) * 360.0
        return np.array([wrapped_degrees(float(angle)) for angle in turn])

    def target_outline_mm(self) -> tuple[Points, ...]:
        """Corners of each patch of the target's paper, on the surface."""
        return tuple(self._on_metal(corners, part) for part, corners in self.outlines_mm)

    def step_outline_mm(self) -> Points | None:
        """Corners of the place that the target marks for a known step, on the surface."""
        if self.step_mm is None:
            return None
        part, corners_mm = self.step_mm
        return self._on_metal(corners_mm, part)

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Height of the print above the metal, and its standard uncertainty, in mm."""
        lift_mm = self.model.thickness_mm + float(self.parameters[LIFT])
        return lift_mm, math.sqrt(max(float(self.covariance[LIFT, LIFT]), 0.0))

    @property
    def eye_mm(self) -> Floats:
        """(3,) where the lens stands, in the surface's space frame (`Model.space`)."""
        return self.model.eye_mm(self.parameters)

    def sight_lines(self, points_px: Points) -> Floats:
        """(N, 3) directions from the lens through (N, 2) photo pixels, in the space frame."""
        return self.model.sight_lines(self.parameters, points_px)

    def in_space(self, points_mm: Points, height_mm: Floats | float) -> Floats:
        """(N, 3) points over (N, 2) places of the surface, in the space frame."""
        return self.model.space(self.parameters, points_mm, height_mm)

    def seen_at_px(self, space_mm: Floats) -> Points:
        """(N, 2) photo pixels of (N, 3) points in the space frame, before the lens."""
        return self.model.pixels(self.parameters, self.model.to_camera(self.parameters, space_mm))

    def over_surface(self, space_mm: Floats) -> tuple[Points, Floats]:
        """(N, 2) places of the surface under (N, 3) points in space, and (N,) heights in mm."""
        return self.model.over_surface(self.parameters, space_mm)

    def outward(self, points_mm: Points) -> Floats:
        """(N, 3) unit normals out of the metal at (N, 2) places, in the space frame."""
        return self.model.outward(self.parameters, points_mm)

    def one_sigma(self) -> "tuple[SolvedSurface, ...]":
        """Surfaces that each err by one standard uncertainty, independently of one another.

        What any value changes by from this surface to them, squared and summed, is the square of
        its standard uncertainty from the fit of the surface.
        """
        # Only these say where things are seen; the others say how the target lies.
        free = np.intersect1d(self.free, [*range(EDGE), RADIUS])
        values, vectors = np.linalg.eigh(self.covariance[np.ix_(free, free)])
        errors = vectors * np.sqrt(np.maximum(values, 0.0))
        moved = np.tile(self.parameters, (free.size, 1))
        moved[:, free] += errors.T
        return tuple(replace(self, parameters=parameters) for parameters in moved)

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
        """Budget, in mm, of the mean distance between N pairs of surface points.

        The photo fixes the pixels of the points; a change of the parameters moves them on the
        surface by -(d px / d mm)⁻¹ (d px / d parameters).
        """
        start_mm = np.asarray(start_mm, dtype=np.float64).reshape(-1, 2)
        end_mm = np.asarray(end_mm, dtype=np.float64).reshape(-1, 2)
        run = end_mm - start_mm
        length_mm = np.hypot(*run.T)
        direction = run / np.maximum(length_mm, 1e-9)[:, None]
        ends = np.concatenate([start_mm, end_mm])
        moves = self._moves_mm(ends)
        half = len(start_mm)
        change = np.einsum("nj,njp->np", direction, moves[half:] - moves[:half])
        pull = change.mean(axis=0)
        mean_mm = float(length_mm.mean())
        u_height_mm, u_rest_mm = self._parted(pull)
        uneven_mm = self.pattern_px / self.px_per_mm
        u_wrap_mm = self._u_wrap() * float(np.abs(run[:, 0] * direction[:, 0]).mean())
        effects = (
            ("print scale of the target", self.scale.u_ratio / self.scale.ratio * mean_mm),
            ("paper in damp or dry air", U_PAPER * mean_mm),
            ("height of the print above the metal", u_height_mm),
            ("marker edges, lens and pose", u_rest_mm),
            ("lie of the target", U_PER_MM_UNEVEN * uneven_mm * mean_mm),
            ("wrap of the target", u_wrap_mm),
        )
        budget = tuple(
            Component(source=source, standard_uncertainty=float(u_mm), scope=scope)
            for (source, u_mm), scope in zip(effects, SCOPES, strict=True)
        )
        if self.bore_mm is None:
            return budget
        return (*budget, self._far_toe(ends, across=float(np.abs(direction[:, 1]).mean())))

    def _far_toe(self, ends_mm: Points, *, across: float) -> Component:
        """What a root's own crown, always looked at aslant in a bore, does to its far toe."""
        slant = np.clip(self.seen_at_deg(ends_mm), LEAST_SLANT_DEG, 90.0)
        u_mm = U_FAR_TOE_MM * across * float(np.mean(1.0 / np.tan(np.radians(slant))))
        return Component(source=FAR_TOE, standard_uncertainty=u_mm, scope=Scope.PHOTO)

    def _parted(self, pull: Floats) -> tuple[float, float]:
        """Standard uncertainties, in mm, from the print's height and from all that is left.

        `pull` is the change of a distance per unit of each free parameter.
        """
        covariance = self.covariance[np.ix_(self.free, self.free)]
        lift = int(np.flatnonzero(self.free == LIFT)[0])
        u_height = float(pull @ covariance[:, lift]) / math.sqrt(covariance[lift, lift])
        rest2 = float(pull @ covariance @ pull) - u_height**2
        return abs(u_height), math.sqrt(max(rest2, 0.0))

    def _u_wrap(self) -> float:
        """Relative standard uncertainty of an arc: which layer of the paper keeps its length."""
        if self.model.radius_mm is None:
            return 0.0
        thickness_mm = self.model.thickness_mm
        return thickness_mm / (2.0 * abs(self.model.radius_of(self.parameters))) / math.sqrt(3.0)

    def _moves_mm(self, points_mm: Floats) -> Floats:
        """(N, 2, F) change of surface points at fixed pixels, per unit of each free parameter."""
        count = len(points_mm)

        def pixels(parameters: Floats) -> Floats:
            return self.model.surface_pixels(parameters, points_mm, -self.below_mm).reshape(-1)

        here, by_parameter = numeric_jacobian(pixels, self.parameters, self.free)
        by_place = np.empty((count, 2, 2))
        for axis in (0, 1):
            moved = points_mm.copy()
            moved[:, axis] += STEP_MM
            there = self.model.surface_pixels(self.parameters, moved, -self.below_mm)
            by_place[:, :, axis] = (there - here.reshape(-1, 2)) / STEP_MM
        moves = np.linalg.solve(by_place, by_parameter.reshape(count, 2, -1))
        return np.asarray(-moves, dtype=np.float64)

    def _sines(self, points_mm: Floats, space: Floats) -> Floats:
        sight = self.model.eye_mm(self.parameters) - space
        sight /= np.linalg.norm(sight, axis=1, keepdims=True)
        return np.asarray((sight * self.model.outward(self.parameters, points_mm)).sum(axis=1))

    def _on_metal(self, printed_mm: Floats, part: int = 0) -> Floats:
        numbers = np.full(len(printed_mm), part)
        return self.model.laid(self.parameters, printed_mm, numbers)[:, :2]
