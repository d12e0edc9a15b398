"""Invented photos of a line of light across a weld, with exact truth.

Every pixel's line of sight is followed to the metal's relief; light, shadow and camera are written
out here on their own, so that the library's geometry is tested against it. On plate the surface is
x right, y down; on pipe x runs round the outside and y along the pipe. Heights point out.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import cv2
import numpy as np
import pytest
from scipy.special import ndtr

from beadcheck.coupon import Coupon, Shape
from beadcheck.photo import Lens, Photo
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.design import Marker, TargetDesign, rectangle_mm
from beadcheck.target.find import find_target

SIZE_PX = (1260, 920)
FOCAL_PX = 2500.0
PAPER_MM = 0.1
SUBPIXELS = 2
PAPER_LIGHT, INK_LIGHT, METAL_LIGHT = 0.6, 0.03, 0.16
LEVELS = 32
NEAR_LIGHT_MM = 11.0
RED, GREEN, BLUE = (0.02, 0.04, 1.0), (0.05, 1.0, 0.03), (1.0, 0.06, 0.02)


def strip_card(step_corners_mm=None):
    """Five markers in a row; the weld runs above or below it."""
    return TargetDesign(
        name="test strip",
        dictionary="DICT_4X4_50",
        width_mm=100.0,
        height_mm=20.0,
        thickness_mm=PAPER_MM,
        markers=tuple(
            Marker(id=k, corners_mm=rectangle_mm(4.0 + 20.0 * k, 4.0, 12.0, 12.0)) for k in range(5)
        ),
        step_corners_mm=step_corners_mm,
    )


def _turned(points, matrix):
    """(N, D) points times a small matrix's transpose; BLAS is slow at such shapes."""
    return np.stack([sum(points[..., k] * row[k] for k in range(len(row))) for row in matrix], -1)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What lies where. The weld runs along `weld_turn_deg` to the card through `weld_at_mm`.

    `light_turn_deg` turns the line out of the square to the weld; `light_deg` is the sheet's angle
    to the metal's normal, its light comes from growing s. `step_at_mm` is (s, across) of the middle
    of a block of `step_size_mm`, or None; `other_step_at_mm` is that of another. `shadow` puts the
    near side of the sheet into shade.
    """

    weld_at_mm: tuple[float, float] = (52.0, -22.0)
    weld_turn_deg: float = 3.0
    width_mm: float = 9.0
    height_mm: float = 2.0
    ripple_mm: float = 0.04
    undercut_mm: float = 0.0
    undercut_width_mm: float = 1.0
    rise_mm: float = 0.0  # of the metal right of the weld over that left of it
    step_mm: float = 5.0
    step_at_mm: tuple[float, float] | None = None
    step_size_mm: tuple[float, float] = (16.0, 7.0)
    other_step_at_mm: tuple[float, float] | None = None
    light_deg: float = 45.0
    light_turn_deg: float = 4.0
    light_at_mm: float = 1.3
    second_light_mm: float | None = None
    sigma_mm: float = 0.15
    colour: tuple[float, float, float] = RED
    power: float = 3.0
    shadow: bool = False
    glints: float = 0.0
    speckle: float = 0.25
    tilt_deg: float = 9.0
    tilt_towards_deg: float = 65.0
    distance_mm: float = 230.0
    radius_mm: float | None = None
    noise: float = 0.006
    seed: int = 3

    @property
    def turn(self):
        angle = math.radians(self.weld_turn_deg)
        return np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])

    def weld_frame(self, points_mm):
        return _turned(points_mm - np.array(self.weld_at_mm), self.turn)

    def surface_points(self, weld_mm):
        return weld_mm @ self.turn + np.array(self.weld_at_mm)

    def relief(self, s, t):
        """Height over the nominal metal at (s, across)."""
        half = 0.5 * self.width_mm
        cap = self.height_mm * (1.0 - (t / half) ** 2)
        cap = cap + self.ripple_mm * np.sin(2.0 * np.pi * (s + 0.05 * t * t) / 1.7) * (cap > 0.1)
        height = np.where(np.abs(t) < half, np.sign(self.height_mm) * np.abs(cap), 0.0)
        groove = np.abs(t - half - 0.5 * self.undercut_width_mm) / (0.5 * self.undercut_width_mm)
        cut = 0.5 * self.undercut_mm * (1.0 + np.cos(np.pi * np.minimum(groove, 1.0)))
        height = height - cut - np.where(t < -half, self.rise_mm, 0.0)
        for at_mm in self.steps_at_mm:
            along, across = s - at_mm[0], t - at_mm[1]
            size_s, size_t = self.step_size_mm
            on = (np.abs(along) < 0.5 * size_s) & (np.abs(across) < 0.5 * size_t)
            foot = -self.rise_mm if at_mm[1] < 0.0 else 0.0
            height = np.where(on, self._step_top_mm(along) + foot, height)
        return height

    @property
    def steps_at_mm(self):
        return [at for at in (self.step_at_mm, self.other_step_at_mm) if at is not None]

    def uneven(self, t):
        """Whether places across may lie on weld, groove or block, as seen from the camera."""
        near = np.abs(t) < 0.5 * self.width_mm + 2.0
        for at_mm in self.steps_at_mm:
            near |= np.abs(t - at_mm[1]) < 0.5 * self.step_size_mm[1] + 3.0
        return near | (self.rise_mm != 0.0)

    def _step_top_mm(self, along):
        if self.radius_mm is None:
            return self.step_mm
        return (self.radius_mm + self.step_mm) / np.cos(along / self.radius_mm) - self.radius_mm

    def space(self, points_mm, height):
        """Points in space: z into the metal."""
        x, y = points_mm[..., 0], points_mm[..., 1]
        if self.radius_mm is None:
            return np.stack([x, y, -np.broadcast_to(height, x.shape)], axis=-1)
        out = self.radius_mm + height
        angle = (x - self.weld_at_mm[0]) / self.radius_mm
        return np.stack(
            [self.weld_at_mm[0] + out * np.sin(angle), y, self.radius_mm - out * np.cos(angle)], -1
        )

    def sheet(self, at_mm):
        """Point and unit normal of the sheet of light whose trace meets the weld at s = at_mm."""
        foot = self.surface_points(np.array([[at_mm, 0.0]]))
        point = self.space(foot, 0.0)[0]
        ahead = self.space(self.surface_points(np.array([[at_mm + 1e-4, 0.0]])), 0.0)[0] - point
        ahead /= np.linalg.norm(ahead)
        above = self.space(foot, 1.0)[0] - point
        across = np.cross(ahead, above)
        turn = math.radians(self.light_turn_deg)
        square = math.cos(turn) * ahead + math.sin(turn) * across
        slant = math.radians(self.light_deg)
        return point, math.cos(slant) * square - math.sin(slant) * above


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole; camera = rotation point + translation."""

    rotation: np.ndarray
    translation: np.ndarray

    @classmethod
    def of(cls, scene, middle):
        tilt, towards = math.radians(scene.tilt_deg), math.radians(scene.tilt_towards_deg)
        lean, _ = cv2.Rodrigues(np.array([math.cos(towards), math.sin(towards), 0.0]) * tilt)
        roll, _ = cv2.Rodrigues(np.array([0.0, 0.0, math.radians(4.0)]))
        rotation = roll @ lean
        shift = np.array([1.5, -2.0, scene.distance_mm]) - rotation @ middle
        return cls(rotation=rotation, translation=shift)

    @property
    def eye(self):
        return -self.rotation.T @ self.translation

    def pixels(self, space):
        seen = space @ self.rotation.T + self.translation
        return seen[..., :2] / seen[..., 2:] * FOCAL_PX + (np.array(SIZE_PX) - 1) / 2.0

    def sight(self, pixels):
        flat = (pixels - (np.array(SIZE_PX) - 1) / 2.0) / FOCAL_PX
        ahead = np.concatenate([flat, np.ones((*flat.shape[:-1], 1))], axis=-1)
        return _turned(ahead, self.rotation.T)


@dataclass(frozen=True, kw_only=True)
class Shot:
    """A photo, its solved surface, and the scene that it shows."""

    scene: Scene
    photo: Photo
    surface: object
    pixels: Callable  # of points in space

    def section(self, across_mm, at_mm=None):
        """(N,) stations and (N,) heights at which the sheet of light meets the metal."""
        scene = self.scene
        point, normal = scene.sheet(scene.light_at_mm if at_mm is None else at_mm)

        def off(s):
            weld_mm = np.stack([s, across_mm], axis=1)
            places = scene.surface_points(weld_mm)
            return (scene.space(places, scene.relief(s, across_mm)) - point) @ normal

        grid = scene.light_at_mm + np.linspace(-12.0, 16.0, 1401)
        values = np.array([off(np.full(across_mm.size, s)) for s in grid])
        # The last crossing is the one that faces the light.
        crossing = (values[:-1] < 0.0) & (values[1:] >= 0.0)
        last = crossing.shape[0] - 1 - crossing[::-1].argmax(axis=0)
        column = np.arange(across_mm.size)
        before, after = values[last, column], values[last + 1, column]
        s = grid[last] + (grid[1] - grid[0]) * before / (before - after)
        return s, scene.relief(s, across_mm)


def _middle(scene):
    return scene.space(np.array([50.0, -8.0]), 0.0)


def _met(scene, camera, sight):
    """Places on the metal where lines of sight meet the relief, and the heights there.

    The relief is followed near the light; far from it, it would only shift the metal's grain.
    """
    place = _at_level(scene, camera.eye, sight, 0.0)
    height = np.zeros(len(place))
    s, t = scene.weld_frame(place).T
    lights = [at for at in (scene.light_at_mm, scene.second_light_mm) if at is not None]
    near = np.min([np.abs(s - at) for at in lights], axis=0) < NEAR_LIGHT_MM
    near &= scene.uneven(t)
    place[near], height[near] = _met_near(scene, camera.eye, sight[near])
    return place, height


def _met_near(scene, eye, sight):
    top = scene.height_mm + 0.3 if scene.step_at_mm is None else max(scene.step_mm, 3.0) + 0.4
    lowest = min(-scene.undercut_mm, scene.height_mm, -scene.rise_mm, scene.step_mm) - 0.05
    levels = np.linspace(top, lowest, LEVELS)
    found = np.zeros(len(sight), dtype=bool)
    height = np.zeros(len(sight))
    before = None
    for level in levels:
        gap = level - scene.relief(*scene.weld_frame(_at_level(scene, eye, sight, level)).T)
        if before is not None:
            now = ~found & (gap <= 0.0) & (before > 0.0)
            share = before[now] / (before[now] - gap[now])
            height[now] = level - (1.0 - share) * (levels[1] - levels[0])
            found |= now
        before = gap
    place = _at_level(scene, eye, sight, height)
    return place, scene.relief(*scene.weld_frame(place).T)


def _at_level(scene, eye, sight, level):
    """Surface places under the points where lines of sight reach a height."""
    if scene.radius_mm is None:
        reach = (-level - eye[2]) / sight[:, 2]
        return eye[:2] + reach[:, None] * sight[:, :2]
    centre = np.array([scene.weld_at_mm[0], scene.radius_mm])
    across = sight[:, [0, 2]]
    start = eye[[0, 2]] - centre
    square = (across**2).sum(axis=1)
    half = across @ start
    rest = np.maximum(half**2 - square * (start @ start - (scene.radius_mm + level) ** 2), 0.0)
    reach = (-half - np.sqrt(rest)) / square
    hit = eye + reach[:, None] * sight
    angle = np.arctan2(hit[:, 0] - centre[0], centre[1] - hit[:, 2])
    return np.stack([centre[0] + scene.radius_mm * angle, hit[:, 1]], axis=1)


def _card_light(design, places):
    """Linear light of the printed card at places on it; NaN beside it."""
    light = np.full(len(places), np.nan)
    on = (places >= 0.0).all(axis=1) & (places <= [design.width_mm, design.height_mm]).all(axis=1)
    light[on] = PAPER_LIGHT
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, design.dictionary))
    for marker in design.markers:
        cells = cv2.aruco.generateImageMarker(dictionary, marker.id, 6)
        cell = np.floor((places - marker.corners_mm[0]) / 2.0).astype(int)
        on = ((cell >= 0) & (cell < 6)).all(axis=1)
        light[on] = np.where(cells[cell[on, 1], cell[on, 0]] > 0, PAPER_LIGHT, INK_LIGHT)
    return light


def _lit(scene, space, own_light, random):
    """(N, 3) linear light, blue green red, of points in space."""
    ambient = own_light[:, None] * np.ones(3)
    bright = 1.0 + scene.speckle * random.standard_normal(len(space))
    for at_mm in (scene.light_at_mm, scene.second_light_mm):
        if at_mm is None:
            continue
        point, normal = scene.sheet(at_mm)
        away = (space - point) @ normal * (1.0 / math.cos(math.radians(scene.light_deg)))
        if scene.shadow:
            return ambient * (0.15 + 0.85 * ndtr(away / scene.sigma_mm))[:, None]
        line = scene.power * np.exp(-0.5 * (away / scene.sigma_mm) ** 2) * np.maximum(bright, 0.0)
        ambient = ambient + own_light[:, None] * line[:, None] * np.array(scene.colour)
    return ambient


def _seen_light(scene, camera, design, pixels, grain, random):
    """(N, 3) linear light of N places in the picture."""
    place, height = _met(scene, camera, camera.sight(pixels))
    printed = _card_light(design, place)
    paper = np.isfinite(printed)
    height = np.where(paper, PAPER_MM, height)
    s, t = scene.weld_frame(place).T
    metal = METAL_LIGHT * grain[(t * 20).astype(int) % 512, (s * 3).astype(int) % 512]
    on_cap = np.abs(t) < 0.5 * scene.width_mm
    wave = np.sin(2.0 * np.pi * (s + 0.05 * t * t) / 1.7)
    metal = np.where(on_cap, metal * (1.0 + scene.glints * np.maximum(wave, 0.0) ** 8), metal)
    own = np.where(paper, printed, metal)
    return _lit(scene, scene.space(place, height), own, random)


def _on_card(scene, camera, design):
    """(R, C) bool: pixels in the box round the card."""
    corners = rectangle_mm(-1.0, -1.0, design.width_mm + 2.0, design.height_mm + 2.0)
    outline = camera.pixels(scene.space(corners, 0.0))
    mask = np.zeros(SIZE_PX[::-1], np.uint8)
    low, high = outline.min(axis=0), outline.max(axis=0)
    if scene.radius_mm is not None:
        low[0], high[0] = 0.0, SIZE_PX[0]
    cv2.rectangle(mask, low.astype(int).tolist(), high.astype(int).tolist(), 1, -1)
    return mask > 0


def _linear_picture(scene, camera, design, random):
    grain = np.abs(1.0 + 0.75 * cv2.GaussianBlur(random.standard_normal((512, 512)), (0, 0), 1.0))
    x, y = np.meshgrid(np.arange(SIZE_PX[0], dtype=float), np.arange(SIZE_PX[1], dtype=float))
    pixels = np.stack([x, y], axis=-1)
    card = _on_card(scene, camera, design)
    light = np.empty((*x.shape, 3))
    light[~card] = _seen_light(scene, camera, design, pixels[~card], grain, random)
    offsets = (np.arange(SUBPIXELS) + 0.5) / SUBPIXELS - 0.5
    shifts = [np.array([off_x, off_y]) for off_x in offsets for off_y in offsets]
    light[card] = np.mean(
        [_seen_light(scene, camera, design, pixels[card] + off, grain, random) for off in shifts],
        axis=0,
    )
    return cv2.GaussianBlur(light, (0, 0), 0.9)


def shot_of(scene, design=None):
    """Render a scene, find its card and solve its surface."""
    design = design or strip_card()
    random = np.random.default_rng(scene.seed)
    camera = Camera.of(scene, _middle(scene))
    light = _linear_picture(scene, camera, design, random)
    light += scene.noise * random.standard_normal(light.shape)
    light = np.clip(light, 0.0, 1.0)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    pixels_bgr = np.round(255.0 * coded).astype(np.uint8)
    film_mm = FOCAL_PX * math.hypot(24.0, 36.0) / math.hypot(*SIZE_PX)
    photo = Photo(file="scene.png", pixels_bgr=pixels_bgr, lens=Lens(focal_35mm_mm=film_mm))
    coupon = Coupon()
    if scene.radius_mm is not None:
        coupon = Coupon(shape=Shape.PIPE, outside_diameter_mm=2.0 * scene.radius_mm)
    found = find_target(photo, [design])
    surface = solve_surface(found, photo, coupon, PrintScale(ratio=1.0, u_ratio=0.0014))
    return Shot(scene=scene, photo=photo, surface=surface, pixels=camera.pixels)


@pytest.fixture(scope="session")
def take_shot():
    """Return the maker of shots; a scene is rendered once."""
    made = {}

    def take(design=None, **changes):
        scene = replace(Scene(), **changes)
        key = (scene, None if design is None else design.name)
        if key not in made:
            made[key] = shot_of(scene, design)
        return made[key]

    return take
