"""Drawn photos of open joints with truth, and how near the root opening comes: U against error.

    python tests/benchmarks/open_joints.py --first-seed 71000 --count 40

A ray for each sub-pixel is led through the section of the joint (bevels, lands, what lies under
it); camera, card and pipe are those of the surface tests, written apart from the library. Seeds
from 70000 were tuned on, others are for quoting.
"""

import argparse
import math
from dataclasses import dataclass

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

from beadcheck.coupon import Coupon, Groove, GrooveForm, Shape, WeldPass
from beadcheck.pipeline import Request
from beadcheck.pipeline.fit_up_take import open_joint, told_of
from beadcheck.quantity import Statistic
from beadcheck.target.catalogue import pipe_strip
from tests.unit.surface.conftest import METAL_LIGHT, Scene, strip_of_five

FINER = 2


@dataclass(frozen=True, kw_only=True)
class Joint:
    """An open single-V joint along x at y = `y_mm`; tacks are (first, last) places in mm.

    `gap_mm` holds the root opening at x = -40, 0 and 40 mm about the middle of the view.
    """

    y_mm: float
    middle_mm: float
    gap_mm: tuple[float, float, float]
    wall_mm: float
    face_mm: float
    bevel_deg: float
    wave_mm: float
    phase: float
    tacks: tuple[tuple[float, float], ...]
    lower_mm: float
    under: float
    ambient: float
    from_deg: float
    seed: int

    def lands_mm(self, s_mm):
        """Places across, from y_mm, of both lands at s."""
        gap = np.interp(s_mm - self.middle_mm, [-40.0, 0.0, 40.0], self.gap_mm)
        bend = self.wave_mm * np.sin(2.0 * np.pi * s_mm / 37.0 + self.phase)
        return bend - 0.5 * gap, bend + 0.5 * gap

    @property
    def coupon_groove(self):
        return Groove(
            form=GrooveForm.SINGLE_V, angle_deg=2.0 * self.bevel_deg, root_face_mm=self.face_mm
        )


def places_at(scene, pixels, depth_mm):
    """Surface places over what pixels show at a depth, by the scene's own camera."""
    seen = (pixels - scene.centre_px) / scene.focal_px
    direction = seen.copy()
    for _ in range(12):
        r2 = (direction**2).sum(axis=-1, keepdims=True)
        direction = seen / (1.0 + scene.k1 * r2 + scene.k2 * r2**2)
    sight = np.concatenate([direction, np.ones_like(direction[..., :1])], axis=-1) @ scene.rotation
    eye = -scene.rotation.T @ scene.translation
    if scene.radius_mm is None:
        reach = (depth_mm - eye[2]) / sight[..., 2]
        laid = (eye + reach[..., None] * sight)[..., :2]
    else:
        out = scene.radius_mm - depth_mm
        from_axis = np.array([eye[0], eye[2] - scene.radius_mm])
        across = sight[..., [0, 2]]
        square, half = (across**2).sum(axis=-1), across @ from_axis
        with np.errstate(invalid="ignore"):
            root = np.sqrt(half**2 - square * (from_axis @ from_axis - out**2))
        hit = eye + ((-half - root) / square)[..., None] * sight
        angle = np.arctan2(hit[..., 0], scene.radius_mm - hit[..., 2])
        laid = np.stack([angle * scene.radius_mm, hit[..., 1]], axis=-1)
    return np.nan_to_num(laid + scene.middle_mm, nan=1e4)


def drawn(scene, joint):
    """Function that draws the joint into the scene's linear picture."""

    def draw(picture):
        height, width = picture.shape
        box = _box(scene, joint, width, height)
        y, x = (np.arange(r.start * FINER, r.stop * FINER) for r in box)
        at = np.stack(np.meshgrid((x + 0.5) / FINER - 0.5, (y + 0.5) / FINER - 0.5), axis=-1)
        light, there = _traced(scene, joint, at)
        part = np.repeat(np.repeat(picture[box], FINER, axis=0), FINER, axis=1)
        fine = np.where(there, light, part).astype(np.float32)
        out = picture.copy()
        size = (box[1].stop - box[1].start, box[0].stop - box[0].start)
        out[box] = cv2.resize(fine, size, interpolation=cv2.INTER_AREA)
        return out

    return draw


def _box(scene, joint, width, height):
    reach = 3.0 + joint.wall_mm * math.tan(math.radians(joint.bevel_deg)) + 4.0
    s = np.linspace(joint.middle_mm - 90, joint.middle_mm + 90, 60)
    if scene.radius_mm is not None:
        s = np.clip(
            s, joint.middle_mm - 1.05 * scene.radius_mm, joint.middle_mm + 1.05 * scene.radius_mm
        )
    ends = np.concatenate(
        [np.column_stack([s, np.full(60, joint.y_mm + side * reach)]) for side in (-1, 1)]
    )
    px = scene.metal_px(ends)
    low = np.clip(px.min(axis=0).astype(int) - 2, 0, [width, height])
    high = np.clip(px.max(axis=0).astype(int) + 3, 0, [width, height])
    return slice(low[1], high[1]), slice(low[0], high[0])


def _traced(scene, joint, at):
    """Light of each ray, and whether it enters the groove at all."""
    deepest = joint.wall_mm
    s0, t0 = np.moveaxis(places_at(scene, at, 0.0), -1, 0)
    s1, t1 = np.moveaxis(places_at(scene, at, deepest), -1, 0)
    t0, t1 = t0 - joint.y_mm, t1 - joint.y_mm
    slope, along = (t1 - t0) / deepest, (s1 - s0) / deepest
    left, right = joint.lands_mm(s1)
    lean = math.tan(math.radians(joint.bevel_deg))
    top = joint.wall_mm - joint.face_mm
    there = (t0 > left - top * lean) & (t0 < right + (top + joint.lower_mm) * lean)
    hit = np.full(t0.shape, np.inf)
    kind = np.zeros(t0.shape, dtype=int)
    with np.errstate(divide="ignore", invalid="ignore"):
        for sign, edge, lower in ((-1.0, left, 0.0), (1.0, right, joint.lower_mm)):
            first, last = top + lower, joint.wall_mm + lower
            bevel = (sign * (edge - t0) + first * lean) / (sign * slope + lean)
            land = sign * (edge - t0) / (sign * slope)
            for number, depth, ok in (
                (1, bevel, (bevel >= 0.0) & (bevel <= first)),
                (2, land, (sign * slope > 0.0) & (land > first) & (land <= last)),
            ):
                nearer = ok & (depth < hit)
                hit = np.where(nearer, depth, hit)
                kind = np.where(nearer, int(sign) * number, kind)
        level = top - 0.4
        s_tack, t_tack = s0 + along * level, t0 + slope * level
        for first, last in joint.tacks:
            half = 0.5 * (right - left)
            off = np.clip(np.abs(t_tack - 0.5 * (left + right)) / half, 0.0, 1.0)
            spread = 0.6 * off**2
            inside = (s_tack > first - spread) & (s_tack < last + spread) & (level < hit)
            hit = np.where(inside, level, hit)
            kind = np.where(inside, 3, kind)
    return _light(joint, kind, hit, s0 + along * np.minimum(hit, deepest), t0), there


def _light(joint, kind, depth, s, t):
    """Light by what a ray meets: bevel, land, tack or what lies under the joint."""
    rng = np.random.default_rng(joint.seed)
    grain = gaussian_filter(rng.normal(size=(256, 256)), 1.2)
    grain /= grain.std()
    wall = t + 3.0 * np.where(np.isfinite(depth), depth, 0.0)
    texture = map_coordinates(
        grain, [np.nan_to_num(wall / 0.15) % 255, np.nan_to_num(s / 0.15) % 255], order=1
    )
    metal = METAL_LIGHT * (1.0 + 0.12 * texture)
    share = np.clip(np.where(np.isfinite(depth), depth, 0.0) / joint.wall_mm, 0.0, 1.0)
    lamp, rest = math.radians(joint.from_deg), 1.0 - joint.ambient
    beta = math.radians(joint.bevel_deg)
    light = np.full(kind.shape, joint.under * METAL_LIGHT)
    for sign in (-1, 1):
        # A wall at t > 0 looks towards t < 0 and up.
        facing = max(0.0, math.sin(beta) * math.cos(lamp) - sign * math.cos(beta) * math.sin(lamp))
        bevel = joint.ambient * (0.85 - 0.45 * share) + rest * facing / math.cos(lamp)
        light = np.where(kind == sign, metal * bevel, light)
        land = joint.ambient * 0.22 + rest * 0.3 * max(0.0, -sign * math.sin(lamp))
        light = np.where(kind == 2 * sign, metal * land, light)
    ripples = 1.0 + 0.15 * np.sin(2.0 * np.pi * s / 0.9)
    return np.where(kind == 3, metal * ripples * (joint.ambient * 0.6 + 0.3), light)


def random_joint(seed, *, pipe=False, tilt=15.0):
    """A scene and a joint in it, drawn from a seed."""
    rng = np.random.default_rng([seed, 7])
    design = pipe_strip(219.1) if pipe else strip_of_five()
    wall = rng.uniform(6.0, 12.0)
    middle = 14.0 + np.pi * 219.1 / 6.0 if pipe else 0.5 * design.width_mm
    y = design.height_mm + rng.uniform(8.0, 14.0) + wall * 0.7
    scene = Scene(
        design=design,
        size_px=(1344, 1008),
        px_per_mm=rng.uniform(6.0, 8.7) * (1.0 if pipe else 1.4),
        tilt_deg=rng.uniform(0.0, tilt),
        tilt_towards_deg=rng.uniform(0.0, 360.0),
        roll_deg=rng.uniform(-12.0, 12.0),
        radius_mm=109.55 if pipe else None,
        look_at_mm=(middle, 0.6 * y),
        off_centre=(0.0, 0.0),
        centre_error_px=(rng.uniform(-8, 8), rng.uniform(-8, 8)),
    )
    gap = rng.uniform(1.8, 4.5)
    reach = 25.0 if pipe else 30.0
    first = middle + rng.uniform(-reach, reach - 16.0)
    tacks = ((first, first + rng.uniform(8.0, 16.0)),) if rng.random() < 0.6 else ()
    joint = Joint(
        y_mm=y,
        middle_mm=middle,
        gap_mm=tuple(gap + rng.uniform(-0.6, 0.6, 3)),
        wall_mm=wall,
        face_mm=rng.uniform(0.5, 2.5),
        bevel_deg=rng.uniform(27.0, 37.5),
        wave_mm=rng.uniform(0.0, 0.25),
        phase=rng.uniform(0.0, 6.0),
        tacks=tacks,
        lower_mm=rng.uniform(0.0, 0.8),
        under=rng.uniform(0.01, 0.12),
        ambient=rng.uniform(0.45, 0.95),
        from_deg=rng.uniform(-25.0, 25.0),
        seed=seed,
    )
    return scene, joint


def photo_of(scene, joint, seed):
    """The photo of a joint."""
    rng = np.random.default_rng([seed, 8])
    blur, noise = rng.uniform(0.7, 1.4), rng.uniform(0.003, 0.012)
    return scene.rendered(rng, blur_px=blur, noise=noise, light=drawn(scene, joint))


def coupon_of(scene, joint, *, known=True):
    """The coupon as a person would enter it."""
    return Coupon(
        shape=Shape.PLATE if scene.radius_mm is None else Shape.PIPE,
        outside_diameter_mm=None if scene.radius_mm is None else 2.0 * scene.radius_mm,
        wall_thickness_mm=joint.wall_mm if known else None,
        groove=joint.coupon_groove if known else None,
        weld_pass=WeldPass.FIT_UP,
    )


def errors_of(seed, *, pipe, known=True):
    """Errors and U of the quantities, of the stations and of the tacks; None where refused."""
    scene, joint = random_joint(seed, pipe=pipe)
    request = Request(takes=(), coupon=coupon_of(scene, joint, known=known))
    found = open_joint(photo_of(scene, joint, seed), request, (scene.design,))
    if found.refusal is not None:
        return None
    quantities, openings, tacks = told_of(found)
    shift = float(np.nanmedian(found.opening.middle_mm[:, 0] - found.opening.s_mm))
    sure = [each for each in openings if each.sure]
    left, right = joint.lands_mm(np.array([each.s_mm for each in sure]) + shift)
    true = right - left
    of = {
        Statistic.MEAN: true.mean(),
        Statistic.SD: true.std(ddof=1),
        Statistic.MIN: true.min(),
        Statistic.MAX: true.max(),
    }
    told = {q.statistic: (q.value - of[q.statistic], q.expanded_uncertainty) for q in quantities}
    stations = [
        (each.opening_mm - truth, each.opening_U_mm) for each, truth in zip(sure, true, strict=True)
    ]
    matched = [
        (tack.length_mm - (last - first), tack.length_U_mm)
        for tack in tacks
        for first, last in joint.tacks
        if abs(0.5 * sum(tack.s_range_mm) + shift - 0.5 * (first + last)) < 5.0
    ]
    return told, stations, matched, len(tacks), len(joint.tacks)


def main():
    """Print how near opening and tacks come on drawn joints."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first-seed", type=int, default=71000)
    parser.add_argument("--count", type=int, default=30)
    parser.add_argument("--unknown", action="store_true", help="wall and root face not entered")
    choice = parser.parse_args()
    told, stations, tacks = {}, [], []
    refused, found, planted = 0, 0, 0
    for seed in range(choice.first_seed, choice.first_seed + choice.count):
        one = errors_of(seed, pipe=seed % 3 == 2, known=not choice.unknown)
        if one is None:
            refused += 1
            continue
        for statistic, error in one[0].items():
            told.setdefault(statistic.value, []).append(error)
        stations += one[1]
        tacks += one[2]
        found, planted = found + one[3], planted + one[4]
        print(seed, {k.value: f"{e:+.3f} of {u:.2f}" for k, (e, u) in one[0].items()}, flush=True)
    print(f"{choice.count} drawn joints, {refused} refused")
    for name, pairs in (*told.items(), ("stations", stations), ("tack lengths", tacks)):
        error, u = np.array(pairs).reshape(-1, 2).T
        print(
            f"{name}: {error.size}, median |error| {np.median(np.abs(error)):.3f} mm, greatest "
            f"{np.abs(error).max(initial=0.0):.3f}, median U {np.median(u):.2f}, within U "
            f"{100.0 * np.mean(np.abs(error) <= u):.1f} %"
        )
    print(f"tacks: {planted} drawn, {len(tacks)} found, {found - len(tacks)} told that are none")


if __name__ == "__main__":
    main()
