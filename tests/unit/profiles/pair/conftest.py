"""A grainy plate with a ridge on it, photographed from several places, with exact truth.

Geometry and light are written out here on their own, so that the library's are tested against them.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import cv2
import numpy as np
import pytest

from beadcheck.beadmap import Axis
from beadcheck.coupon import Coupon
from beadcheck.photo import Lens, Photo
from beadcheck.profiles.pair import PairView
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.design import Marker, Patch, TargetDesign, rectangle_mm
from beadcheck.target.find import EdgeSamples, FoundMarker, FoundTarget
from beadcheck.toes import LocatedWeld

SIZE_PX = (1300, 1040)
FOCAL_35MM_MM = 26.0
FOCAL_PX = FOCAL_35MM_MM * math.hypot(*SIZE_PX) / math.hypot(24.0, 36.0)
DISTANCE_MM = 88.0
GRAIN_PX, GRAIN_PX_PER_MM = (1400, 2000), 20.0
WIDTH_MM, CROWN_MM = 9.0, 2.2
TURN_DEG = 7.0
DESIGN = TargetDesign(
    name="frame",
    dictionary="DICT_4X4_50",
    width_mm=100.0,
    height_mm=76.0,
    thickness_mm=0.0,
    markers=tuple(
        Marker(id=n, corners_mm=rectangle_mm(x, y, 12.0, 12.0))
        for n, (x, y) in enumerate((x, y) for y in (2.0, 62.0) for x in (4.0, 30.0, 58.0, 84.0))
    ),
    paper=tuple(Patch(corners_mm=rectangle_mm(0.0, y, 100.0, 16.0)) for y in (0.0, 60.0)),
)


def ridge(s_mm, across_mm):
    """A parabolic cap that rises and falls a little along the weld."""
    inside = 1.0 - (2.0 * across_mm / WIDTH_MM) ** 2
    return CROWN_MM * (1.0 + 0.05 * np.sin(s_mm / 7.0)) * np.maximum(inside, 0.0)


def flat(s_mm, across_mm):
    return np.zeros(np.broadcast(s_mm, across_mm).shape)


def ridge_and_block(s_mm, across_mm):
    """The cap, and a block 4 mm thick beside it."""
    block = (np.abs(s_mm - 4.0) < 7.0) & (np.abs(across_mm - 14.0) < 4.5)
    return np.where(block, 4.0, ridge(s_mm, across_mm))


@dataclass(frozen=True, kw_only=True)
class Plate:
    """What lies before the cameras; places are along and across the weld from its middle."""

    height: Callable = ridge
    seed: int = 5
    print_ratio: float = 1.0
    """True over nominal length of the printed target."""
    sheen: float = 0.0
    """Natural logarithm by which bands of mirrored light across the ridge are brighter."""
    texture: np.ndarray = field(init=False)

    def __post_init__(self):
        generator = np.random.default_rng(self.seed)
        grain = sum(
            weight * sigma * cv2.GaussianBlur(generator.standard_normal(GRAIN_PX), (0, 0), sigma)
            for sigma, weight in ((1.5, 1.0), (4.0, 0.7), (15.0, 0.5))
        )
        object.__setattr__(self, "texture", (0.3 * np.exp(0.35 * grain)).astype(np.float32))

    @property
    def middle_mm(self):
        return self.print_ratio * np.array([0.5 * DESIGN.width_mm, 0.5 * DESIGN.height_mm])

    def to_weld(self, x, y):
        angle = math.radians(TURN_DEG)
        x, y = x - self.middle_mm[0], y - self.middle_mm[1]
        return (
            x * math.cos(angle) + y * math.sin(angle),
            -x * math.sin(angle) + y * math.cos(angle),
        )

    @property
    def directions(self):
        """Unit vectors along and across the weld."""
        angle = math.radians(TURN_DEG)
        along = np.array([math.cos(angle), math.sin(angle)])
        return along, np.array([-along[1], along[0]])

    @property
    def weld(self):
        """Roughly where the ridge runs, on a surface whose mm are those of the print."""
        (along, across), scale = self.directions, 1.0 / self.print_ratio
        start = (self.middle_mm - 24.0 * along) * scale
        return LocatedWeld(
            axis=Axis(
                origin_mm=(float(start[0]), float(start[1])),
                direction=(float(along[0]), float(along[1])),
                across=(float(across[0]), float(across[1])),
            ),
            s_range_mm=(0.0, 48.0 * scale),
            width_mm=WIDTH_MM * scale,
            reach_mm=(0.0, 48.0 * scale),
        )

    def seen(self, tilt_deg, towards_deg, *, light=1.0, name="a.jpg", design=DESIGN):
        """A photo from a direction, its target found and its surface solved."""
        lens = _Lens(plate=self, tilt_deg=tilt_deg, towards_deg=towards_deg)
        pixels = lens.picture(light, np.random.default_rng(self.seed + 17))
        photo = Photo(file=name, pixels_bgr=pixels, lens=Lens(focal_35mm_mm=FOCAL_35MM_MM))
        found = lens.found(np.random.default_rng(3), design)
        scale = PrintScale(ratio=1.0, u_ratio=0.0058)
        return PairView(
            photo=photo, found=found, surface=solve_surface(found, photo, Coupon(), scale)
        )


@dataclass(frozen=True, kw_only=True)
class _Lens:
    plate: Plate
    tilt_deg: float
    towards_deg: float

    @property
    def pose(self):
        tilt, towards = math.radians(self.tilt_deg), math.radians(self.towards_deg)
        axis = np.array([-math.sin(towards), math.cos(towards), 0.0])
        rotation, _ = cv2.Rodrigues(axis * tilt)
        return rotation, np.array([1.5, -1.0, DISTANCE_MM])

    def project(self, space):
        rotation, shift = self.pose
        camera = space @ rotation.T + shift
        return camera[:, :2] / camera[:, 2:] * FOCAL_PX + 0.5 * (np.array(SIZE_PX) - 1.0)

    def on_plate(self, points_mm, height_mm=0.0):
        """Space points: x right, y down, z into the metal, from the plate's middle."""
        points = np.asarray(points_mm, float) - self.plate.middle_mm
        return np.column_stack([points, np.full(len(points), -height_mm)])

    def picture(self, light, generator):
        """Cast every pixel onto the height field; sharpen the hit a few times."""
        rotation, shift = self.pose
        columns, rows = np.meshgrid(np.arange(SIZE_PX[0]), np.arange(SIZE_PX[1]))
        ahead = np.stack(
            [
                (columns - 0.5 * (SIZE_PX[0] - 1)) / FOCAL_PX,
                (rows - 0.5 * (SIZE_PX[1] - 1)) / FOCAL_PX,
                np.ones(columns.shape),
            ],
            axis=-1,
        )
        sight, eye = ahead @ rotation, -rotation.T @ shift
        height = np.full(columns.shape, 0.0)
        for _ in range(8):
            reach = (-height - eye[2]) / sight[..., 2]
            x, y = (eye[i] + reach * sight[..., i] + self.plate.middle_mm[i] for i in (0, 1))
            s, across = self.plate.to_weld(x, y)
            height = 0.5 * height + 0.5 * self.plate.height(s, across)
        # Shading by a lamp at one side, and grain that belongs to the metal.
        at = [
            (value * GRAIN_PX_PER_MM + 0.5 * size).astype(np.float32)
            for value, size in zip((s, across), GRAIN_PX[::-1], strict=True)
        ]
        grain = cv2.remap(self.plate.texture, *at, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
        bands = np.cos(4.0 * np.pi * across / WIDTH_MM) * (np.abs(across) < 0.5 * WIDTH_MM)
        grain = grain * np.exp(self.plate.sheen * bands)
        linear = np.clip(light * grain * (1.0 + 0.0004 * columns), 0.0, 1.0)
        coded = 255.0 * linear ** (1.0 / 2.2) + generator.normal(size=linear.shape)
        grey = cv2.GaussianBlur(coded.astype(np.float32), (0, 0), 0.7)
        return np.repeat(np.clip(np.round(grey), 0, 255).astype(np.uint8)[..., None], 3, axis=2)

    def found(self, generator, design):
        columns = {name: [] for name in EdgeSamples.__dataclass_fields__}
        markers = []
        share = np.linspace(0.08, 0.92, 24)[:, None]
        for number, marker in enumerate(design.markers):
            corners = self.project(self.on_plate(marker.corners_mm * self.plate.print_ratio))
            for side in range(4):
                start, end = marker.corners_mm[side], marker.corners_mm[(side + 1) % 4]
                edge = start + share * (end - start)
                out = np.array([end[1] - start[1], start[0] - end[0]]) / np.hypot(*(end - start))
                run = corners[(side + 1) % 4] - corners[side]
                normal = np.array([run[1], -run[0]]) / np.hypot(*run)
                seen = self.project(self.on_plate(edge * self.plate.print_ratio))
                error = 0.05 * generator.normal(size=24)[:, None] * normal
                values = {
                    "edge_mm": edge,
                    "outward_mm": np.tile(out, (24, 1)),
                    "points_px": seen + error,
                    "normals_px": np.tile(normal, (24, 1)),
                    "u_px": np.full(24, 0.05),
                    "marker": np.full(24, number),
                    "side": np.full(24, 4 * number + side),
                }
                for name, value in values.items():
                    columns[name].append(value)
            markers.append(FoundMarker(marker=marker, corners_px=corners, clean_share=1.0))
        edges = EdgeSamples(**{name: np.concatenate(column) for name, column in columns.items()})
        return FoundTarget(design=design, markers=tuple(markers), edges=edges, blur_px=0.8)


@pytest.fixture(scope="session")
def plate():
    return Plate()


@pytest.fixture(scope="session")
def moved_across(plate):
    """Two photos of the ridge, 16 degrees apart across the weld."""
    return plate.seen(9.0, 95.0), plate.seen(7.0, -80.0, light=0.8, name="b.jpg")


@pytest.fixture(scope="session")
def moved_along(plate):
    """Two photos of the ridge, 17 degrees apart along the weld."""
    return plate.seen(8.0, 10.0), plate.seen(9.0, 190.0, light=1.15, name="b.jpg")


@pytest.fixture(scope="session")
def make_plate():
    return Plate


@pytest.fixture(scope="session")
def shapes():
    return {"flat": flat, "ridge": ridge, "ridge and block": ridge_and_block}
