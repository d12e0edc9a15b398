"""Invented scenes with exact truth: a target on plate or pipe, seen by a pinhole with distortion.

The geometry is written out here on its own, from the drawing board, so that the library's is tested
against it. A scene gives either edge samples computed directly (fast) or a rendered photo.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import cv2
import numpy as np
import pytest

from beadcheck.coupon import Coupon, Shape
from beadcheck.photo import Lens, Photo
from beadcheck.target.catalogue import pipe_strip
from beadcheck.target.design import Marker, TargetDesign, rectangle_mm
from beadcheck.target.find import EdgeSamples, FoundMarker, FoundTarget

FOCAL_35MM_MM = 26.0
PAPER_LIGHT, INK_LIGHT, METAL_LIGHT = 0.75, 0.04, 0.22
SUBPIXELS = 3


def turned(points, angle):
    cosine, sine = math.cos(angle), math.sin(angle)
    return points @ np.array([[cosine, sine], [-sine, cosine]])


@dataclass(frozen=True, kw_only=True)
class Scene:
    """Where everything truly is.

    `piece_moves` holds shift x, shift y and turn of piece 1, 2, ... about the sheet's middle;
    `bow_mm` is the height of a card's middle over its ends, or of its ends over its middle.
    """

    design: TargetDesign
    size_px: tuple[int, int] = (4032, 3024)
    px_per_mm: float = 15.0
    tilt_deg: float = 12.0
    tilt_towards_deg: float = 35.0
    roll_deg: float = 8.0
    off_centre: tuple[float, float] = (0.04, -0.03)
    focal_error: float = 0.02
    centre_error_px: tuple[float, float] = (20.0, -12.0)
    k1: float = 0.02
    k2: float = -0.02
    radius_mm: float | None = None
    strip_turn_deg: float = 0.0
    look_at_mm: tuple[float, float] | None = None
    bow_mm: float = 0.0
    edge_shift_mm: float = 0.02
    piece_moves: tuple[tuple[float, float, float], ...] = ()
    rotation: np.ndarray = field(init=False)
    translation: np.ndarray = field(init=False)

    def __post_init__(self):
        tilt, towards = math.radians(self.tilt_deg), math.radians(self.tilt_towards_deg)
        lean, _ = cv2.Rodrigues(np.array([math.cos(towards), math.sin(towards), 0.0]) * tilt)
        roll, _ = cv2.Rodrigues(np.array([0.0, 0.0, math.radians(self.roll_deg)]))
        distance = self.focal_px / self.px_per_mm
        sideways = [distance * share for share in self.off_centre]
        object.__setattr__(self, "rotation", roll @ lean)
        object.__setattr__(self, "translation", np.array([*sideways, distance]))

    @property
    def stated_focal_px(self):
        return FOCAL_35MM_MM * math.hypot(*self.size_px) / math.hypot(24.0, 36.0)

    @property
    def focal_px(self):
        return self.stated_focal_px * (1.0 + self.focal_error)

    @property
    def centre_px(self):
        return (np.array(self.size_px) - 1) / 2.0 + self.centre_error_px

    @property
    def middle_mm(self):
        if self.look_at_mm is not None:
            return np.array(self.look_at_mm)
        return 0.5 * np.array([self.design.width_mm, self.design.height_mm])

    @property
    def coupon(self):
        if self.radius_mm is None:
            return Coupon()
        return Coupon(shape=Shape.PIPE, outside_diameter_mm=2.0 * self.radius_mm)

    @property
    def lens(self):
        return Lens(focal_35mm_mm=FOCAL_35MM_MM)

    @property
    def dark_photo(self):
        """A photo of the right size that holds nothing, for solves from computed edges."""
        width, height = self.size_px
        return Photo(
            file="scene.jpg", pixels_bgr=np.zeros((height, width, 3), np.uint8), lens=self.lens
        )

    def _wrapped(self, x, y, height_mm):
        if self.radius_mm is None:
            return np.stack([x, y, -height_mm], axis=-1)
        angle = x / self.radius_mm
        out = self.radius_mm + height_mm
        return np.stack([out * np.sin(angle), y, self.radius_mm - out * np.cos(angle)], axis=-1)

    def metal(self, surface_mm):
        """Space points of the bare surface."""
        x, y = (np.asarray(surface_mm, float) - self.middle_mm).T
        return self._wrapped(x, y, np.zeros_like(x))

    def printed(self, printed_mm, piece=0):
        """Space points of the print."""
        sheet = 0.5 * np.array([self.design.width_mm, self.design.height_mm])
        points = np.asarray(printed_mm, float)
        local = points - sheet
        if piece:
            shift_x, shift_y, turn = self.piece_moves[piece - 1]
            points = sheet + turned(local, turn) + (shift_x, shift_y)
        rise = (local[:, 0] / sheet[0]) ** 2
        lift = self.bow_mm * (1.0 - rise) if self.bow_mm > 0 else -self.bow_mm * rise
        height = self.design.thickness_mm + lift
        laid = turned(points - self.middle_mm, math.radians(self.strip_turn_deg))
        x, y = laid.T
        if self.radius_mm is not None:
            x = x * self.radius_mm / (self.radius_mm + 0.5 * self.design.thickness_mm)
        return self._wrapped(x, y, height)

    def project(self, space):
        camera = space @ self.rotation.T + self.translation
        direction = camera[:, :2] / camera[:, 2:]
        r2 = (direction**2).sum(axis=1, keepdims=True)
        return direction * (1.0 + self.k1 * r2 + self.k2 * r2**2) * self.focal_px + self.centre_px

    def metal_px(self, surface_mm):
        return self.project(self.metal(surface_mm))

    def corners_px(self, marker: Marker):
        return self.project(self.printed(marker.corners_mm, marker.piece))

    def _seen(self, marker: Marker):
        corners = self.corners_px(marker)
        inside = (corners > 12).all() and (corners < np.array(self.size_px) - 12).all()
        if self.radius_mm is None:
            return bool(inside)
        space = self.printed(marker.corners_mm, marker.piece)
        outward = space - [0.0, 0.0, self.radius_mm]
        outward[:, 1] = 0.0
        sight = -self.rotation.T @ self.translation - space
        sine = (outward * sight).sum(axis=1)
        sine /= np.linalg.norm(outward, axis=1) * np.linalg.norm(sight, axis=1)
        return bool(inside and sine.min() > 0.35)

    def found(self, generator, *, noise_px=0.1, side_px=0.02, samples=40, only: Sequence[int] = ()):
        """The target as a perfect finder would hand it over, with noise on every sample.

        `side_px` is the spread of an error that a whole side shares.
        """
        columns: dict[str, list] = {name: [] for name in EdgeSamples.__dataclass_fields__}
        markers = []
        share = np.linspace(0.08, 0.92, samples)[:, None]
        for marker in self.design.markers:
            if (only and marker.id not in only) or not self._seen(marker):
                continue
            corners = self.corners_px(marker)
            for side in range(4):
                start, end = marker.corners_mm[side], marker.corners_mm[(side + 1) % 4]
                out = np.array([end[1] - start[1], start[0] - end[0]])
                out = np.tile(out / np.hypot(*out), (samples, 1))
                edge = start + share * (end - start)
                run = corners[(side + 1) % 4] - corners[side]
                normal = np.array([run[1], -run[0]]) / np.hypot(*run)
                error = generator.normal(size=samples) * noise_px + generator.normal() * side_px
                shifted = edge + self.edge_shift_mm * out
                seen = self.project(self.printed(shifted, marker.piece))
                columns["edge_mm"].append(edge)
                columns["outward_mm"].append(out)
                columns["points_px"].append(seen + error[:, None] * normal)
                columns["normals_px"].append(np.tile(normal, (samples, 1)))
                columns["u_px"].append(np.full(samples, noise_px))
                columns["marker"].append(np.full(samples, len(markers)))
                columns["side"].append(np.full(samples, 4 * len(markers) + side))
            rough = corners + generator.normal(size=(4, 2)) * 0.1
            markers.append(FoundMarker(marker=marker, corners_px=rough, clean_share=1.0))
        edges = EdgeSamples(**{name: np.concatenate(column) for name, column in columns.items()})
        return FoundTarget(design=self.design, markers=tuple(markers), edges=edges, blur_px=1.0)

    def rendered(self, generator, *, blur_px=1.0, noise=0.01, light=None):
        """A photo: sub-pixels averaged, blurred, noisy, sRGB-coded.

        `light` changes the (height, width) linear picture before it is blurred.
        """
        width, height = self.size_px
        fine = self._ink(*self._fine_places_mm())
        coarse = cv2.resize(fine, (width, height), interpolation=cv2.INTER_AREA)
        if light is not None:
            coarse = light(coarse)
        soft = cv2.GaussianBlur(coarse, (0, 0), blur_px)
        soft = np.clip(soft + generator.normal(size=soft.shape) * noise, 0.0, 1.0)
        coded = np.where(soft <= 0.0031308, 12.92 * soft, 1.055 * soft ** (1 / 2.4) - 0.055)
        grey = np.round(255.0 * coded).astype(np.uint8)
        pixels = np.repeat(grey[:, :, None], 3, axis=2)
        return Photo(file="scene.png", pixels_bgr=pixels, lens=self.lens)

    def _fine_places_mm(self):
        """Printed x and y at every sub-pixel, interpolated between nodes 8 px apart."""
        width, height = self.size_px
        nodes_x = np.arange(-8, width + 16, 8, dtype=float)
        nodes_y = np.arange(-8, height + 16, 8, dtype=float)
        nodes_mm = self._printed_places_mm(*np.meshgrid(nodes_x, nodes_y)).astype(np.float32)
        at_x = ((np.arange(width * SUBPIXELS) + 0.5) / SUBPIXELS - 0.5 + 8.0) / 8.0
        at_y = ((np.arange(height * SUBPIXELS) + 0.5) / SUBPIXELS - 0.5 + 8.0) / 8.0
        at = [axis.astype(np.float32) for axis in np.meshgrid(at_x, at_y)]
        return cv2.split(cv2.remap(nodes_mm, *at, cv2.INTER_LINEAR))

    def _printed_places_mm(self, x_px, y_px):
        """Printed places seen at places of the photo; pieces and bow are not rendered."""
        seen = (np.stack([x_px, y_px], axis=-1) - self.centre_px) / self.focal_px
        direction = seen.copy()
        for _ in range(12):
            r2 = (direction**2).sum(axis=-1, keepdims=True)
            direction = seen / (1.0 + self.k1 * r2 + self.k2 * r2**2)
        sight = np.concatenate([direction, np.ones_like(direction[..., :1])], axis=-1)
        sight = sight @ self.rotation
        eye = -self.rotation.T @ self.translation
        thickness = self.design.thickness_mm
        if self.radius_mm is None:
            reach = (-thickness - eye[2]) / sight[..., 2]
            laid = (eye + reach[..., None] * sight)[..., :2]
        else:
            out = self.radius_mm + thickness
            from_axis = np.array([eye[0], eye[2] - self.radius_mm])
            across = sight[..., [0, 2]]
            square = (across**2).sum(axis=-1)
            half = across @ from_axis
            with np.errstate(invalid="ignore"):
                root = np.sqrt(half**2 - square * (from_axis @ from_axis - out**2))
            hit = eye + ((-half - root) / square)[..., None] * sight
            angle = np.arctan2(hit[..., 0], self.radius_mm - hit[..., 2])
            laid = np.stack([angle * (self.radius_mm + 0.5 * thickness), hit[..., 1]], axis=-1)
        places = turned(laid, -math.radians(self.strip_turn_deg)) + self.middle_mm
        return np.nan_to_num(places, nan=1e4)

    def _ink(self, x_mm, y_mm):
        kind = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, self.design.dictionary))
        modules = kind.markerSize + 2
        on_paper = (x_mm >= PAPER_FROM_MM) & (x_mm <= self.design.width_mm)
        on_paper &= (y_mm >= 0) & (y_mm <= self.design.height_mm)
        light = np.where(on_paper, np.float32(PAPER_LIGHT), np.float32(METAL_LIGHT))
        for marker in self.design.markers:
            picture = kind.generateImageMarker(marker.id, modules)
            corners = (self.corners_px(marker) + 0.5) * SUBPIXELS
            left, top = np.maximum(corners.min(axis=0).astype(int) - 4, 0)
            right, bottom = np.maximum(corners.max(axis=0).astype(int) + 5, 0)
            box = np.s_[top:bottom, left:right]
            start, size = marker.corners_mm[0], marker.corners_mm[2] - marker.corners_mm[0]
            column = np.floor((x_mm[box] - start[0]) / size[0] * modules).astype(int)
            row = np.floor((y_mm[box] - start[1]) / size[1] * modules).astype(int)
            inside = (column >= 0) & (column < modules) & (row >= 0) & (row < modules)
            cell = picture[np.clip(row, 0, modules - 1), np.clip(column, 0, modules - 1)]
            ink = np.where(cell > 0, PAPER_LIGHT, INK_LIGHT)
            light[box] = np.where(inside, ink, light[box])
        return light


PAPER_FROM_MM = -60.0
"""Paper reaches left of the sheet's edge, so that a strip's end can stand beside its start."""


def strip_of_five(**changes):
    design = TargetDesign(
        name="five in a row",
        dictionary="DICT_4X4_50",
        width_mm=100.0,
        height_mm=20.0,
        thickness_mm=0.2,
        markers=tuple(
            Marker(id=n, corners_mm=rectangle_mm(4.0 + 20.0 * n, 4.0, 12.0, 12.0)) for n in range(5)
        ),
        clock_zero_mm=50.0,
    )
    return replace(design, **changes)


@pytest.fixture(scope="module", name="five_in_a_row")
def _five_in_a_row() -> Callable[..., TargetDesign]:
    return strip_of_five


@pytest.fixture(scope="module", name="make_scene")
def _make_scene() -> Callable[..., Scene]:
    return Scene


def slipped_strip(
    generator: np.random.Generator, move_mm: tuple[float, float], **view: object
) -> tuple[Scene, FoundTarget]:
    """A strip whose second segment is glued on out of place, and what is found of it as designed.

    `view` says how the scene is seen; the joint stands at x = `pipe_strip(219.1).joints_mm[0]`.
    """
    design = pipe_strip(219.1)
    joint_mm = design.joints_mm[0]
    slipped = replace(
        design,
        markers=tuple(
            replace(m, corners_mm=np.add(m.corners_mm, move_mm))
            if m.corners_mm[0, 0] > joint_mm
            else m
            for m in design.markers
        ),
    )
    scene = Scene(design=slipped, radius_mm=109.55, **view)
    found = scene.found(generator)
    by_id = {marker.id: marker for marker in design.markers}
    moved = found.edges.edge_mm[:, :1] > joint_mm
    return scene, replace(
        found,
        design=design,
        markers=tuple(replace(m, marker=by_id[m.marker.id]) for m in found.markers),
        edges=replace(found.edges, edge_mm=found.edges.edge_mm - moved * move_mm),
    )


@pytest.fixture(scope="module", name="slipped_strip")
def _slipped_strip() -> Callable[..., tuple[Scene, FoundTarget]]:
    return slipped_strip
