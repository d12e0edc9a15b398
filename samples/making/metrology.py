"""Pictures of a target alone, cast analytically: edges are covered exactly, nothing is rendered.

For judging how well marker corners, camera and surface are found. A bowed target follows a circle.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy.ndimage import maximum_filter, minimum_filter

from samples.making.camera import Camera, aim
from samples.making.card import Sheet, marker_cells, read_sheets
from samples.making.develop import Development, develop, save_photo
from samples.making.noise import Floats, Image, cloud
from samples.making.shape import Shape
from samples.making.truth import write_json

FINE = 16  # sub-pixels along each side of a pixel
PAPER, INK, TABLE = 0.78, 0.045, 0.30


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """How a picture of a target is taken.

    Attributes
    ----------
    bow_mm
        Height of the target's middle over the line of its ends, over `bow_length_mm` along x.
    """

    distance_mm: float
    focal_equiv_mm: float
    tilt_deg: float
    tilt_towards_deg: float
    roll_deg: float
    blur_px: float
    k1: float = 0.0
    k2: float = 0.0
    bow_mm: float = 0.0
    bow_length_mm: float = 100.0
    centre_shift_px: tuple[float, float] = (0.0, 0.0)
    off_mm: tuple[float, float] = (0.0, 0.0)
    noise: float = 4e-4
    ink_mm: float = 0.0
    size_px: tuple[int, int] = (2000, 1500)


def bend_radius_mm(pose: Pose) -> float | None:
    """Radius of the circle that a bowed target follows along x; None where it is flat."""
    if pose.bow_mm == 0:
        return None
    half = pose.bow_length_mm / 2
    return float((half**2 + pose.bow_mm**2) / (2 * pose.bow_mm))


def sheet_xyz_mm(sheet: Sheet, pose: Pose, xy_mm: Floats) -> Floats:
    """Points in space (..., 3) of points of the target (..., 2): x right, y up, z out of it."""
    x0, y0, x1, y1 = sheet.box_mm
    off = (np.asarray(xy_mm) - np.array([x0 + x1, y0 + y1]) / 2) * np.array([1.0, -1.0])
    flat = np.stack([off[..., 0], off[..., 1], np.zeros(off.shape[:-1])], axis=-1)
    return Shape(radius_mm=bend_radius_mm(pose)).xyz_mm(flat)


def camera_of(pose: Pose) -> Camera:
    """The camera of a picture."""
    rotation, translation = aim(
        Shape(radius_mm=bend_radius_mm(pose)),
        at_st_mm=pose.off_mm,
        distance_mm=pose.distance_mm,
        tilt_deg=pose.tilt_deg,
        tilt_towards_deg=pose.tilt_towards_deg,
        roll_deg=pose.roll_deg,
    )
    return Camera(
        width_px=pose.size_px[0],
        height_px=pose.size_px[1],
        focal_equiv_mm=pose.focal_equiv_mm,
        rotation=rotation,
        translation_mm=translation,
        k1=pose.k1,
        k2=pose.k2,
        centre_shift_px=pose.centre_shift_px,
    )


def cast(sheet: Sheet, pose: Pose, *, rng: np.random.Generator) -> Image:
    """Linear light (H, W, 3); pixels that an edge crosses get FINE by FINE rays."""
    camera = camera_of(pose)
    px, py = np.meshgrid(np.arange(camera.width_px), np.arange(camera.height_px))
    middles = np.stack([px, py], axis=-1).astype(np.float64)
    picture = reflectance(sheet, pose, _hits_mm(sheet, pose, camera, middles))
    # All printed cells are many pixels wide: an edge shows as a step between neighbours.
    crossed = maximum_filter(picture, 3) != minimum_filter(picture, 3)
    steps = (np.arange(FINE) + 0.5) / FINE - 0.5
    dx, dy = np.meshgrid(steps, steps)
    rays = middles[crossed][:, None] + np.stack([dx.ravel(), dy.ravel()], axis=-1)[None]
    parts = [
        reflectance(sheet, pose, _hits_mm(sheet, pose, camera, part)).mean(axis=1)
        for part in np.array_split(rays, 1 + len(rays) // 20000)
    ]
    picture[crossed] = np.concatenate(parts)
    shade = 1 + 0.10 * cloud(rng, picture.shape, cell=900, octaves=2)
    return np.repeat((picture * shade)[..., None], 3, axis=2).astype(np.float32)


def _hits_mm(sheet: Sheet, pose: Pose, camera: Camera, px: Floats) -> Floats:
    """Points (..., 2) of the target's frame that pixels see; NaN where they miss its surface."""
    cx, cy = camera.centre_px
    xd, yd = (px[..., 0] - cx) / camera.focal_px, (px[..., 1] - cy) / camera.focal_px
    x, y = xd, yd
    for _ in range(12 if camera.k1 or camera.k2 else 0):
        r2 = x * x + y * y
        gain = 1 + camera.k1 * r2 + camera.k2 * r2 * r2
        x, y = xd / gain, yd / gain
    ray = np.stack([x, y, np.ones_like(x)], axis=-1) @ camera.rotation
    eye = camera.eye_mm
    radius = bend_radius_mm(pose)
    if radius is None:
        reach = -eye[2] / ray[..., 2]
        along = eye[0] + reach * ray[..., 0]
    else:
        up = eye[2] + radius  # over the axis of the circle
        a = ray[..., 0] ** 2 + ray[..., 2] ** 2
        b = eye[0] * ray[..., 0] + up * ray[..., 2]
        with np.errstate(invalid="ignore"):
            reach = (-b - np.sqrt(b * b - a * (eye[0] ** 2 + up**2 - radius**2))) / a
        along = radius * np.arctan2(eye[0] + reach * ray[..., 0], up + reach * ray[..., 2])
    across = eye[1] + reach * ray[..., 1]
    x0, y0, x1, y1 = sheet.box_mm
    return np.stack([along + (x0 + x1) / 2, (y0 + y1) / 2 - across], axis=-1)


def reflectance(sheet: Sheet, pose: Pose, xy_mm: Floats) -> Floats:
    """Paper, ink or table at points of the target's frame; markers only, ink grown by `ink_mm`."""
    x, y = xy_mm[..., 0], xy_mm[..., 1]
    light = np.where(sheet.covers(x, y), PAPER, TABLE)
    for marker_id, corners in zip(sheet.ids, sheet.corners_mm, strict=True):
        black = marker_cells(sheet.dictionary, marker_id)
        side = float(corners[1, 0] - corners[0, 0]) / len(black)
        u, v = x - corners[0, 0], y - corners[0, 1]
        low, high = -pose.ink_mm, side * len(black) + pose.ink_mm
        near = (u > low) & (u < high) & (v > low) & (v < high)
        if not near.any():
            continue
        ink = np.zeros(int(near.sum()), dtype=np.bool_)
        for du in {-pose.ink_mm, 0.0, pose.ink_mm}:
            for dv in {-pose.ink_mm, 0.0, pose.ink_mm}:
                column = np.floor((u[near] + du) / side).astype(np.intp)
                row = np.floor((v[near] + dv) / side).astype(np.intp)
                inside = (column >= 0) & (row >= 0) & (column < len(black)) & (row < len(black))
                hit = black[np.clip(row, 0, len(black) - 1), np.clip(column, 0, len(black) - 1)]
                ink |= inside & hit
        light[near] = np.where(ink, INK, light[near])
    return light


def metrology_poses() -> dict[str, Pose]:
    """Twelve flat pictures, and the same card bowed: twice 0.3 mm and twice 1.0 mm over 100 mm."""
    rng = np.random.default_rng(8800)
    poses = {}
    focals, distances = (
        (26.0, 28.0, 35.0, 48.0),
        {26.0: 150.0, 28.0: 160.0, 35.0: 190.0, 48.0: 250.0},
    )
    for k in range(12):
        focal = focals[k % 4]
        lens = k >= 4
        poses[f"{k:03d}"] = Pose(
            distance_mm=distances[focal] * float(rng.uniform(0.95, 1.2)),
            focal_equiv_mm=focal,
            tilt_deg=float((0.0, 5, 10, 15, 20, 25, 30, 8, 12, 18, 3, 22)[k]),
            tilt_towards_deg=float(rng.uniform(0, 360)),
            roll_deg=float(rng.uniform(-180, 180) if k % 3 == 2 else rng.normal(0, 8)),
            blur_px=float((0.6, 0.8, 1.0, 1.4, 2.0, 0.7, 0.9, 1.1, 1.6, 0.8, 0.6, 1.2)[k]),
            k1=round(float(rng.normal(0, 0.05)), 4) if lens else 0.0,
            k2=round(float(rng.normal(0, 0.02)), 4) if lens else 0.0,
            off_mm=(float(rng.normal(0, 4)), float(rng.normal(0, 4))),
            ink_mm=0.03 if k in (3, 8) else 0.0,
        )
    for k, (bow, tilt) in enumerate(((0.3, 4.0), (0.3, 14.0), (1.0, 6.0), (1.0, 16.0))):
        poses[f"{12 + k:03d}"] = Pose(
            distance_mm=175.0,
            focal_equiv_mm=28.0,
            tilt_deg=tilt,
            tilt_towards_deg=float(rng.uniform(0, 360)),
            roll_deg=float(rng.normal(0, 10)),
            blur_px=0.9,
            bow_mm=bow,
            off_mm=(3.0, -2.0),
        )
    return poses


def make_metrology(target: Path, out: Path) -> None:
    """Write the set: photos and truths."""
    out.mkdir(parents=True, exist_ok=True)
    sheet = read_sheets(target)[0]
    for number, (name, pose) in enumerate(metrology_poses().items()):
        rng = np.random.default_rng([8801, number])
        how = Development(
            blur_px=pose.blur_px, noise=pose.noise, exposure=0.35, vignette=0.1, quality=90
        )
        photo = develop(cast(sheet, pose, rng=rng), how, rng=rng)
        save_photo(
            photo,
            out / f"{name}.jpg",
            focal_equiv_mm=pose.focal_equiv_mm,
            how=how,
            taken=f"2026:03:01 11:{number:02d}:00",
        )
        write_json(out / f"{name}.json", metrology_truth(sheet, pose, image=f"{name}.jpg"))
        print(name, pose)


def metrology_truth(sheet: Sheet, pose: Pose, *, image: str) -> dict[str, Any]:
    """Truth of a picture, with the scenes' keys."""
    camera = camera_of(pose)
    cx, cy = camera.centre_px
    markers = []
    for marker_id, corners in zip(sheet.ids, sheet.corners_mm, strict=True):
        xyz = sheet_xyz_mm(sheet, pose, corners)
        px = camera.project(xyz)
        markers.append(
            {
                "id": marker_id,
                "card": 0,
                "corners_card_mm": corners.tolist(),
                "corners_xyz_mm": xyz.round(6).tolist(),
                "corners_px": px.round(5).tolist(),
                "in_view": bool(camera.inside(px).all()),
            }
        )
    return {
        "image": image,
        "scene": "metrology",
        "image_size": list(pose.size_px),
        "camera": {
            "K": [[camera.focal_px, 0, cx], [0, camera.focal_px, cy], [0, 0, 1]],
            "dist_k1_k2_p1_p2_k3": [pose.k1, pose.k2, 0.0, 0.0, 0.0],
            "R": camera.rotation.tolist(),
            "t": camera.translation_mm.tolist(),
            "eye_mm": camera.eye_mm.tolist(),
            "focal_equiv_mm": pose.focal_equiv_mm,
            "distance_mm": pose.distance_mm,
            "tilt_deg": pose.tilt_deg,
        },
        "surface": {"kind": "flat", "radius_mm": None, "outside_diameter_mm": None},
        "card": {
            "target_file": sheet.file.name,
            "width_mm": sheet.width_mm,
            "height_mm": sheet.height_mm,
            "dictionary": sheet.dictionary,
            "bow_mm": pose.bow_mm,
            "bow_length_mm": pose.bow_length_mm,
            "bend_radius_mm": bend_radius_mm(pose),
            "ink_mm": pose.ink_mm,
            "lift_mm": 0.0,
        },
        "develop": {"blur_px": pose.blur_px, "noise": pose.noise, "quality": 90, "contrast": 0.0},
        "markers": markers,
        "weld": None,
    }
