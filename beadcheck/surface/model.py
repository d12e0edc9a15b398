"""From printed edges to pixels: the geometry of target, surface and camera, with its parameters."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.camera import Camera, seen_directions, straight_directions, within_lens
from beadcheck.coupon.shape import U_DIAMETER

Floats = NDArray[np.float64]

TURN_POSE: Final = slice(0, 3)
SHIFT_POSE: Final = slice(3, 6)
FOCAL: Final = 6
CENTRE: Final = slice(7, 9)
K1: Final = 9
K2: Final = 10
EDGE: Final = 11
LIFT: Final = 12
RADIUS: Final = 13
STRIP_TURN: Final = 14
FIXED_COUNT: Final = 15
PART_COUNT: Final = 5
"""Per rigid part: shift along x and y (mm), turn (rad), bow along x and along y (mm)."""
PLACE: Final = slice(0, 3)
BOWS: Final = slice(3, 5)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """A rigid part of the target, in the frame of the print.

    `middle_mm` and `half_span_mm` are (2,): middle and half extent of its paper.
    """

    middle_mm: Floats
    half_span_mm: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Model:
    """Everything that is fixed while the parameters are solved.

    Parameters are deviations from what is known or guessed beforehand: pose (rad, mm), natural
    logarithm of the focal length's ratio, centre (px), k1, k2, edge shift (mm), extra height of the
    print above the metal (mm), logarithm of the pipe radius's ratio, turn of the strip on the
    pipe (rad), then `PART_COUNT` for each rigid part.

    Attributes
    ----------
    rotation, translation_mm
        Pose guessed beforehand: (3, 3) and (3,); camera = rotation (point - pivot) + translation.
    pivot_mm
        (2,) surface point, at the middle of the markers seen, about which poses and strip turn.
    thickness_mm
        Of the target's paper or card.
    radius_mm
        Of the pipe as entered; negative where the surface is its bore, seen from inside, and the
        axis lies on the camera's side; None on plate.
    u_radius_ratio
        Relative standard uncertainty of that radius.
    """

    camera: Camera
    rotation: Floats
    translation_mm: Floats
    pivot_mm: Floats
    thickness_mm: float
    radius_mm: float | None
    parts: tuple[Part, ...]
    u_radius_ratio: float = U_DIAMETER

    @property
    def parameter_count(self) -> int:
        """Length of a parameter vector."""
        return FIXED_COUNT + PART_COUNT * len(self.parts)

    def part_slice(self, part: int) -> slice:
        """Where the parameters of a rigid part stand."""
        return slice(FIXED_COUNT + PART_COUNT * part, FIXED_COUNT + PART_COUNT * (part + 1))

    def radius_of(self, parameters: Floats) -> float:
        """Radius of the bare pipe, in mm; negative in a bore, infinite on plate."""
        if self.radius_mm is None:
            return float("inf")
        return self.radius_mm * float(np.exp(parameters[RADIUS]))

    def focal_of(self, parameters: Floats) -> float:
        """Focal length, in px."""
        return self.camera.focal_px * float(np.exp(parameters[FOCAL]))

    def rotation_of(self, parameters: Floats) -> Floats:
        """(3, 3) from the surface's frame to the camera's."""
        turn, _ = cv2.Rodrigues(parameters[TURN_POSE])
        return np.asarray(turn @ self.rotation, dtype=np.float64)

    def laid(self, parameters: Floats, printed_mm: Floats, part: NDArray[np.intp]) -> Floats:
        """(N, 3) surface x and y, and height above the metal, of (N, 2) printed points."""
        placed = np.zeros((len(printed_mm), 3))
        for number, shape in enumerate(self.parts):
            mine = part == number
            if not mine.any():
                continue
            own: NDArray[np.bool_] | slice = slice(None) if mine.all() else mine
            shift_x, shift_y, turn, bow_x, bow_y = parameters[self.part_slice(number)]
            local = printed_mm[own] - shape.middle_mm
            placed[own, :2] = shape.middle_mm + _turned(local, turn) + (shift_x, shift_y)
            for bow_mm, axis in ((bow_x, 0), (bow_y, 1)):
                # A card that bulges stands on its ends, one that curls up rests on its middle.
                rise = (local[:, axis] / shape.half_span_mm[axis]) ** 2
                placed[own, 2] += bow_mm * (1.0 - rise) if bow_mm > 0.0 else -bow_mm * rise
        thickness_mm = self.thickness_mm + parameters[LIFT]
        placed[:, 2] += thickness_mm
        if self.radius_mm is not None:
            radius_mm = self.radius_of(parameters)
            placed[:, :2] = self.pivot_mm + _turned(
                placed[:, :2] - self.pivot_mm, parameters[STRIP_TURN]
            )
            # The paper's neutral layer bends without stretching at half its thickness.
            placed[:, 0] *= radius_mm / (radius_mm + 0.5 * thickness_mm)
        return placed

    def space(self, parameters: Floats, surface_mm: Floats, height_mm: Floats | float) -> Floats:
        """(N, 3) points in the surface's own space frame, its origin at the pivot.

        x right, y down, z into the metal.
        """
        x, y = (surface_mm - self.pivot_mm).T
        if self.radius_mm is None:
            return np.stack([x, y, np.broadcast_to(-np.asarray(height_mm), x.shape)], axis=1)
        radius_mm = self.radius_of(parameters)
        out_mm = radius_mm + height_mm
        angle = x / radius_mm
        return np.stack([out_mm * np.sin(angle), y, radius_mm - out_mm * np.cos(angle)], axis=1)

    def to_camera(self, parameters: Floats, space_mm: Floats) -> Floats:
        """(N, 3) points in the camera's frame: x right, y down, z along the optical axis."""
        shift = self.translation_mm + parameters[SHIFT_POSE]
        return np.asarray(space_mm @ self.rotation_of(parameters).T + shift, dtype=np.float64)

    def pixels(self, parameters: Floats, camera_mm: Floats) -> Floats:
        """(N, 2) photo pixels of (N, 3) points in the camera's frame."""
        directions = camera_mm[:, :2] / camera_mm[:, 2:]
        k1, k2 = self.camera.k1 + parameters[K1], self.camera.k2 + parameters[K2]
        centre = np.asarray(self.camera.centre_px) + parameters[CENTRE]
        seen = seen_directions(directions, k1, k2)
        return np.asarray(seen * self.focal_of(parameters) + centre, dtype=np.float64)

    def within_lens(self, parameters: Floats, camera_mm: Floats) -> NDArray[np.bool_]:
        """Which of (N, 3) points in the camera's frame lie before the lens and in its field."""
        ahead = camera_mm[:, 2] > 0.0
        directions = camera_mm[:, :2] / np.where(ahead, camera_mm[:, 2], 1.0)[:, None]
        k1, k2 = self.camera.k1 + parameters[K1], self.camera.k2 + parameters[K2]
        return np.asarray(ahead & within_lens(directions, k1, k2))

    def surface_pixels(
        self, parameters: Floats, surface_mm: Floats, height_mm: float = 0.0
    ) -> Floats:
        """(N, 2) photo pixels of (N, 2) points at a height over the bare metal, seen or not."""
        space = self.space(parameters, surface_mm, height_mm)
        return self.pixels(parameters, self.to_camera(parameters, space))

    def eye_mm(self, parameters: Floats) -> Floats:
        """(3,) where the lens stands, in the surface's space frame."""
        shift = self.translation_mm + parameters[SHIFT_POSE]
        return np.asarray(-self.rotation_of(parameters).T @ shift, dtype=np.float64)

    def sight_lines(self, parameters: Floats, points_px: Floats) -> Floats:
        """(N, 3) directions from the lens through (N, 2) photo pixels, in the space frame."""
        centre = np.asarray(self.camera.centre_px) + parameters[CENTRE]
        seen = (points_px - centre) / self.focal_of(parameters)
        k1, k2 = self.camera.k1 + parameters[K1], self.camera.k2 + parameters[K2]
        straight = straight_directions(seen, k1, k2)
        ahead = np.column_stack([straight, np.ones(len(straight))])
        return np.asarray(ahead @ self.rotation_of(parameters), dtype=np.float64)

    def surface_points(
        self, parameters: Floats, points_px: Floats, height_mm: float = 0.0
    ) -> Floats:
        """(N, 2) surface places of what (N, 2) photo pixels show, at a height over the bare metal.

        NaN where the line of sight misses that height: a plane, or a pipe as much thicker. Of a
        pipe the near side is seen, of a bore the far one.
        """
        eye = self.eye_mm(parameters)
        sight = self.sight_lines(parameters, points_px)
        with np.errstate(divide="ignore", invalid="ignore"):
            if self.radius_mm is None:
                reach = -(height_mm + eye[2]) / sight[:, 2]
            else:
                radius_mm = self.radius_of(parameters)
                out_mm = radius_mm + height_mm
                from_axis = np.array([eye[0], eye[2] - radius_mm])
                across = sight[:, [0, 2]]
                square = (across * across).sum(axis=1)
                half = across @ from_axis
                rest = half * half - square * (from_axis @ from_axis - out_mm**2)
                reach = (-half - np.sign(radius_mm) * np.sqrt(rest)) / square
            hit = eye + np.where(reach > 0.0, reach, np.nan)[:, None] * sight
        if self.radius_mm is None:
            return np.asarray(hit[:, :2] + self.pivot_mm, dtype=np.float64)
        arc_mm = _arc_mm(radius_mm, hit[:, 0], hit[:, 2])
        return np.asarray(np.stack([arc_mm, hit[:, 1]], axis=1) + self.pivot_mm, dtype=np.float64)

    def over_surface(self, parameters: Floats, space_mm: Floats) -> tuple[Floats, Floats]:
        """(N, 2) surface places under (N, 3) points in space, and their (N,) heights."""
        x, y, z = space_mm.T
        if self.radius_mm is None:
            return space_mm[:, :2] + self.pivot_mm, -z
        radius_mm = self.radius_of(parameters)
        arc_mm = _arc_mm(radius_mm, x, z)
        height_mm = np.sign(radius_mm) * np.hypot(x, radius_mm - z) - radius_mm
        return np.stack([arc_mm, y], axis=1) + self.pivot_mm, np.asarray(height_mm)

    def outward(self, parameters: Floats, surface_mm: Floats) -> Floats:
        """(N, 3) unit normals out of the metal, in the space frame."""
        if self.radius_mm is None:
            return np.broadcast_to(np.array([0.0, 0.0, -1.0]), (len(surface_mm), 3))
        angle = (surface_mm[:, 0] - self.pivot_mm[0]) / self.radius_of(parameters)
        return np.stack([np.sin(angle), np.zeros_like(angle), -np.cos(angle)], axis=1)


def _arc_mm(radius_mm: float, x: Floats, z: Floats) -> Floats:
    """Arc length from the pivot's line to places in the space frame."""
    side = np.sign(radius_mm)
    return np.asarray(radius_mm * np.arctan2(side * x, side * (radius_mm - z)))


def _turned(points: Floats, angle: float) -> Floats:
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.asarray(points @ np.array([[cosine, sine], [-sine, cosine]]), dtype=np.float64)
