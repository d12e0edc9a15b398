"""Invented photos along a pipe's outline, with exact truth.

The solid is pipe and weld as a body of revolution; a pixel shows it where its line of sight passes
nearer to the axis than the body's radius there, found by walking along the line. Nothing of the
library's limb geometry is used. How far beyond the edge a pixel lies is painted through a blur.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.special import erf

from beadcheck.camera import Camera
from beadcheck.photo import Lens, Photo
from beadcheck.surface import PrintScale, SolvedSurface
from beadcheck.surface.model import CENTRE, FOCAL, K1, RADIUS, SHIFT_POSE, TURN_POSE, Model, Part

WALK_MM = np.linspace(-12.0, 12.0, 81)
"""Along each line of sight about its nearest point to the axis."""


NEAR_MM = 4.5
"""No weld here rises or dips by more."""


def cap(across_mm, *, width_mm=9.0, crown_mm=2.0):
    """Height of a cap whose cross-section is a parabola."""
    return np.maximum(crown_mm * (1.0 - (2.0 * np.asarray(across_mm) / width_mm) ** 2), 0.0)


@dataclass(frozen=True, kw_only=True)
class SideOnScene:
    """Where everything is; the space frame is the pipe's, its axis along y, z into the metal.

    `sight_mm` is the lens before the limb, along the line of sight; `beyond_mm` how far above the
    tangent it stands; `aside_mm` how far along the pipe from the weld; `weld_at_mm` where along the
    pipe the weld is. `height_mm` gives the metal's height over the pipe at places across the weld.
    """

    height_mm: Callable[[np.ndarray], np.ndarray] = cap
    radius_mm: float = 57.15
    size_px: tuple[int, int] = (1100, 620)
    focal_px: float = 2900.0
    k1: float = 0.02
    sight_mm: float = 170.0
    beyond_mm: float = 1.5
    aside_mm: float = 1.0
    weld_at_mm: float = -7.0
    look_aside_px: tuple[float, float] = (37.0, -21.0)
    roll_deg: float = 3.0
    paper_mm: tuple[float, float] | None = (3.0, 20.0)
    paper_thickness_mm: float = 0.1
    pipe_light: float = 0.18
    weld_light: float = 0.11
    paper_light: float = 0.7
    background: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None
    blur_px: float = 1.2
    noise: float = 0.006
    grain: float = 0.03
    tangent_deg: float = 78.0
    side: int = 1

    @property
    def camera(self):
        centre = (0.5 * (self.size_px[0] - 1), 0.5 * (self.size_px[1] - 1))
        return Camera(
            focal_px=self.focal_px, centre_px=centre, k1=self.k1, k2=0.0,
            u_focal_px=0.01 * self.focal_px, u_centre_px=6.0, u_k1=0.005, u_k2=0.0,
        )  # fmt: skip

    @property
    def arc_mm(self):
        """Arc, from the pivot, of the limb."""
        return self.side * self.radius_mm * math.radians(self.tangent_deg)

    def _directions(self):
        """Unit vectors out of the metal at the limb, and along the sight there (from the lens)."""
        angle = self.side * math.radians(self.tangent_deg)
        out = np.array([math.sin(angle), 0.0, -math.cos(angle)])
        return out, self.side * np.array([math.cos(angle), 0.0, math.sin(angle)])

    @property
    def eye_mm(self):
        out, ahead = self._directions()
        axis = np.array([0.0, 0.0, self.radius_mm])
        limb = axis + self.radius_mm * out
        eye = limb - self.sight_mm * ahead + self.beyond_mm * out
        return eye + np.array([0.0, self.weld_at_mm + self.aside_mm, 0.0])

    @property
    def rotation(self):
        """From the space frame to the camera's; the weld's limb is off the picture's middle."""
        out, ahead = self._directions()
        right = np.cross(-out, ahead)
        upright = np.stack([right, -out, ahead])
        roll, (aside, up) = (
            math.radians(self.roll_deg),
            np.array(self.look_aside_px) / self.focal_px,
        )
        turn = np.array(
            [[math.cos(roll), -math.sin(roll), 0], [math.sin(roll), math.cos(roll), 0], [0, 0, 1]]
        )
        yaw = np.array(
            [
                [math.cos(aside), 0, math.sin(aside)],
                [0, 1, 0],
                [-math.sin(aside), 0, math.cos(aside)],
            ]
        )
        pitch = np.array(
            [[1, 0, 0], [0, math.cos(up), math.sin(up)], [0, -math.sin(up), math.cos(up)]]
        )
        return pitch @ yaw @ turn @ upright

    @property
    def model(self):
        rotation = self.rotation
        return Model(
            camera=self.camera, rotation=rotation, translation_mm=-rotation @ self.eye_mm,
            pivot_mm=np.zeros(2), thickness_mm=self.paper_thickness_mm, radius_mm=self.radius_mm,
            parts=(Part(middle_mm=np.zeros(2), half_span_mm=np.array([40.0, 8.0])),),
        )  # fmt: skip

    def surface(self, generator=None):
        """The pipe as solved: exact, or off by what its own covariance allows."""
        model = self.model
        u = np.zeros(model.parameter_count)
        u[TURN_POSE], u[SHIFT_POSE], u[FOCAL] = 0.006, 0.6, 0.01
        u[CENTRE], u[K1], u[RADIUS] = 6.0, 0.005, 0.004
        off = np.zeros_like(u) if generator is None else u * generator.normal(size=u.size)
        low, high = self.paper_mm or (900.0, 910.0)
        reach = 1.6 * self.radius_mm
        outline = np.array([[-reach, low], [reach, low], [reach, high], [-reach, high]])
        return SolvedSurface(
            model=model, parameters=off, covariance=np.diag(u**2), free=np.flatnonzero(u > 0.0),
            residual_px=0.05, pattern_px=0.0, blur_px=self.blur_px,
            scale=PrintScale(ratio=1.0, u_ratio=0.0014), outlines_mm=((0, outline),),
            clock_zero_mm=0.0, clock_sense=1,
        )  # fmt: skip

    def outer_mm(self, along_mm):
        """Height of whatever is outermost, at places along the pipe."""
        height = self.height_mm(along_mm - self.weld_at_mm)
        if self.paper_mm is None:
            return height
        on_paper = (along_mm > self.paper_mm[0]) & (along_mm < self.paper_mm[1])
        return np.where(on_paper, height + self.paper_thickness_mm, height)

    def clearance_mm(self, points_px):
        """How far the line of sight through each pixel stays off the solid; negative inside.

        Also where along the pipe it comes nearest.
        """
        model = self.model
        sight = model.sight_lines(np.zeros(model.parameter_count), points_px)
        sight /= np.linalg.norm(sight, axis=1, keepdims=True)
        from_axis = self.eye_mm - [0.0, 0.0, self.radius_mm]
        section = sight[:, [0, 2]]
        nearest = -(section @ from_axis[[0, 2]]) / (section**2).sum(axis=1)
        place = from_axis + nearest[:, None] * sight
        least = np.hypot(place[:, 0], place[:, 2]) - self.radius_mm
        where = place[:, 1].copy()
        close = np.flatnonzero((least > -NEAR_MM) & (least < NEAR_MM))
        least[close] = np.inf
        for step in WALK_MM:
            place = from_axis + (nearest[close] + step)[:, None] * sight[close]
            over = np.hypot(place[:, 0], place[:, 2]) - self.radius_mm - self.outer_mm(place[:, 1])
            nearer = over < least[close]
            where[close[nearer]] = place[nearer, 1]
            least[close[nearer]] = over[nearer]
        return least, where

    def photo(self, generator):
        """The scene as a phone would file it, without JPEG."""
        width, height = self.size_px
        y_px, x_px = np.mgrid[0:height, 0:width].astype(float)
        over, along = self.clearance_mm(np.stack([x_px.ravel(), y_px.ravel()], axis=1))
        over, along = over.reshape(height, width), along.reshape(height, width)
        steepness = np.hypot(*np.gradient(over))
        beyond_px = over / np.maximum(steepness, 1e-6)
        share = 0.5 * (1.0 + erf(beyond_px / self.blur_px / 2**0.5))
        on_weld = np.abs(self.height_mm(along - self.weld_at_mm)) > 0.02
        solid = np.where(on_weld, self.weld_light, self.pipe_light)
        solid = solid * (1.0 + self.grain * generator.normal(size=solid.shape))
        if self.paper_mm is not None:
            on_paper = (along > self.paper_mm[0]) & (along < self.paper_mm[1])
            solid = np.where(on_paper, self.paper_light, solid)
        behind = (
            0.5 - 0.1 * x_px / width if self.background is None else self.background(x_px, y_px)
        )
        light = share * behind + (1.0 - share) * solid
        light = np.clip(light + generator.normal(size=light.shape) * self.noise, 0.0, 1.0)
        coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
        grey = np.round(255.0 * coded).astype(np.uint8)
        pixels = np.repeat(grey[:, :, None], 3, axis=2)
        return Photo(file="side-on.png", pixels_bgr=pixels, lens=Lens())

    def changed(self, **changes):
        return replace(self, **changes)


@pytest.fixture(scope="session", name="make_side_on")
def _make_side_on() -> Callable[..., SideOnScene]:
    return SideOnScene


@pytest.fixture(scope="session", name="cap_height")
def _cap_height():
    return cap
