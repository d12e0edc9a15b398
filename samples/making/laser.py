"""A laser's line, added to the traced light: the sheet meets what the camera's rays meet."""

from typing import Any

import cv2
import numpy as np

from samples.making.build import Built
from samples.making.light_sheet import sheet_of
from samples.making.noise import Image
from samples.making.recipe import Light


def laser_light(mi: Any, scene: Any, built: Built, ray: Any) -> Any:
    """Light of the line along camera rays, without speckle, in units of its own."""
    import drjit as dr  # noqa: PLC0415  (only the render extra has it)

    light = built.stage.scene.light
    assert light is not None  # noqa: S101  (the caller asks only where there is one)
    sheet = sheet_of(light, built.stage.shape)
    point, source, normal, along = (
        mi.Point3f(*[float(v) for v in vector])
        for vector in (sheet.point_mm, sheet.source_mm, sheet.normal, sheet.along)
    )
    dr.make_opaque(point, source, normal, along)
    sigma, fan = (dr.opaque(mi.Float, v) for v in (light.sigma_mm, np.radians(light.fan_deg)))
    hit = scene.ray_intersect(ray)
    there = hit.is_valid()
    off = dr.dot(hit.p - point, mi.Vector3f(normal))
    there &= dr.abs(off) < 5 * sigma
    to = dr.normalize(source - hit.p)
    swing = dr.safe_asin(dr.dot(to, mi.Vector3f(along))) / fan
    there &= ~scene.ray_test(hit.spawn_ray_to(source), there)
    strength = dr.exp(-0.5 * (off / sigma) ** 2) * dr.exp(-(swing**4))
    value = hit.bsdf(ray).eval(mi.BSDFContext(), hit, hit.to_local(to), there)
    return dr.select(there, value * strength * mi.Color3f(*light.colour), 0.0)


def shone(line: Image, light: Image, built: Built) -> Image:
    """What the line adds to the picture: its brightness, speckle, and the lens's veil."""
    how = built.stage.scene.light
    assert how is not None  # noqa: S101  (as above)
    grey = line.sum(axis=2)
    core = grey > 0.05 * np.percentile(grey[grey > 0], 95) if (grey > 0).any() else grey > 0
    if not core.any():
        return line
    gain = how.power * float(light.mean()) * sum(how.colour) / float(np.median(grey[core]))
    seed = [built.stage.scene.seed, 11, built.stage.scene.shot]
    bright = line * gain * _speckle(grey.shape, how, np.random.default_rng(seed))[..., None]
    # A bright line scatters in the lens and the sensor's cover.
    veil = 0.015 * cv2.GaussianBlur(bright, (0, 0), 6) + 0.01 * cv2.GaussianBlur(bright, (0, 0), 30)
    return np.asarray(bright + veil, dtype=np.float64)


def _speckle(shape: tuple[int, int], how: Light, rng: np.random.Generator) -> Image:
    """Field of mean 1; its contrast falls with the square root of the number of fields added."""
    if how.speckle <= 0:
        return np.ones(shape)
    looks = max(1, round(1 / how.speckle**2))
    total = np.zeros(shape)
    for _ in range(looks):
        waves = [
            cv2.GaussianBlur(rng.standard_normal(shape), (0, 0), how.grain_px) for _ in range(2)
        ]
        total += waves[0] ** 2 + waves[1] ** 2
    return total / total.mean()
