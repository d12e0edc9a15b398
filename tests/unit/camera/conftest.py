"""Invented phones before an invented card: views computed from the drawing board, without a photo.

The geometry is written out here on its own, so that the library's is tested against it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
import pytest

from beadcheck.camera.view import BoardView
from beadcheck.target.catalogue import plate_card

SIZE_PX = (4032, 3024)
CARD = plate_card()
MIDDLE_MM = np.array([60.0, 44.0])
SAMPLES = 6


@dataclass(frozen=True, kw_only=True)
class Phone:
    """One phone and one print of the card; `refocus` is relative, from photo to photo."""

    focal_px: float = 3105.0
    centre_px: tuple[float, float] = (2038.0, 1496.0)
    k1: float = 0.034
    k2: float = -0.051
    refocus: float = 0.0
    ink_mm: float = 0.02
    bow_mm: tuple[float, float] = (0.0, 0.0)
    noise_px: float = 0.03
    side_px: float = 0.04

    def view(self, generator, *, tilt_deg, towards_deg, roll_deg=4.0, distance_mm=178.0):
        """What one photo shows, in the sensor's picture."""
        focal_px = self.focal_px * (1.0 + generator.normal(0.0, self.refocus))
        tilt, towards = math.radians(tilt_deg), math.radians(towards_deg)
        lean, _ = cv2.Rodrigues(np.array([math.cos(towards), math.sin(towards), 0.0]) * tilt)
        roll, _ = cv2.Rodrigues(np.array([0.0, 0.0, math.radians(roll_deg)]))
        rotation, shift = roll @ lean, np.array([*generator.normal(0.0, 5.0, 2), distance_mm])

        def seen(points_mm):
            local = points_mm - MIDDLE_MM
            rise = (local / [54.0, 37.0]) ** 2 @ np.array(self.bow_mm)
            before = np.column_stack([local, rise]) @ rotation.T + shift
            direction = before[:, :2] / before[:, 2:]
            r2 = (direction**2).sum(axis=1, keepdims=True)
            bent = direction * (1.0 + self.k1 * r2 + self.k2 * r2**2)
            return bent * focal_px + self.centre_px

        columns: dict[str, list] = {name: [] for name in BoardView.__dataclass_fields__}
        for marker in CARD.markers:
            corners = seen(marker.corners_mm)
            columns["start_mm"].append(marker.corners_mm)
            columns["start_px"].append(corners + generator.normal(0.0, 0.15, (4, 2)))
            for side in range(4):
                start, end = marker.corners_mm[side], marker.corners_mm[(side + 1) % 4]
                out = np.array([end[1] - start[1], start[0] - end[0]]) / np.hypot(*(end - start))
                edge = start + np.linspace(0.1, 0.9, SAMPLES)[:, None] * (end - start)
                run = corners[(side + 1) % 4] - corners[side]
                normal = np.array([run[1], -run[0]]) / np.hypot(*run)
                error = generator.normal(0.0, self.noise_px, (SAMPLES, 1))
                error = error + generator.normal(0.0, self.side_px)
                columns["board_mm"].append(edge)
                columns["outward_mm"].append(np.tile(out, (SAMPLES, 1)))
                columns["points_px"].append(seen(edge + self.ink_mm * out) + error * normal)
                columns["normals_px"].append(np.tile(normal, (SAMPLES, 1)))
                u_px = math.hypot(self.noise_px, math.sqrt(SAMPLES) * self.side_px)
                columns["u_px"].append(np.full(SAMPLES, u_px))
        del columns["board"]
        arrays = {name: np.concatenate(column) for name, column in columns.items()}
        return BoardView(board=CARD.name, **arrays)

    def views(self, generator, count=8, *, steepest_deg=34.0):
        """Views tilted by different amounts to all sides; every third with the phone turned."""
        return [
            self.view(
                generator,
                tilt_deg=float(generator.uniform(0.5, 1.0)) * steepest_deg,
                towards_deg=360.0 * number / count + float(generator.uniform(0.0, 30.0)),
                roll_deg=float(generator.normal(0.0, 6.0)) + (90.0 if number % 3 == 2 else 0.0),
                distance_mm=float(generator.uniform(172.0, 205.0)),
            )
            for number in range(count)
        ]


@pytest.fixture(scope="session", name="make_phone")
def _make_phone() -> Callable[..., Phone]:
    return Phone


@pytest.fixture(scope="session", name="size_px")
def _size_px() -> tuple[int, int]:
    return SIZE_PX
