"""Pairs of face photos, drawn at random: one coupon from two or three places."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from samples.making.coupons import PHOTO_PX, coupon_of, on_low_side, pipe_sheets, plate_sheets
from samples.making.laying import lay_sheets, magnets_of
from samples.making.lights import LIGHTINGS
from samples.making.noise import Floats
from samples.making.recipe import Block, Scene, View
from samples.making.table import TABLES
from samples.making.variety import development_of, view_of
from samples.making.variety_light_line import STAIR_MM, STEPS_MM

MOST_TILT_DEG = 33.0


def pair_scenes(name: str, seed: int, *, form: str, targets: Path, views: int = 2) -> list[Scene]:
    """Photos of one coupon in one light.

    Form "pipe" is a convex weld on pipe; "same" has one viewpoint, "two" two coupons.
    """
    rng = np.random.default_rng([seed, 0])
    base = _coupon(name, seed, form, targets, rng)
    angle = rng.uniform(0.2, 0.8) if form == "same" else rng.uniform(8, 25)
    # The phone moves along the weld (turning about t), across it, or in between.
    way = rng.random()
    axis = float(rng.choice([90, 270]) if way < 0.5 else rng.choice([0, 180]))
    axis += rng.uniform(20, 70) if way > 0.8 else rng.normal(0, 5)
    scenes = []
    for k in range(views):
        scene = base
        if form == "two" and k == 1:
            other = np.random.default_rng([seed + 1, 0])
            scene = replace(
                _coupon(name, seed + 1, form, targets, other), view=base.view, laid=base.laid
            )
        view = base.view
        if k > 0:
            share = angle * (1 if k == 1 else -rng.uniform(0.5, 0.9))
            view = _moved(view, share, axis, rng, still=form == "same")
        how = replace(base.development, exposure=base.development.exposure * rng.uniform(0.9, 1.1))
        scenes.append(replace(scene, name=f"{name}{'abc'[k]}", shot=k, view=view, development=how))
    return scenes


def _coupon(name: str, seed: int, form: str, targets: Path, rng: np.random.Generator) -> Scene:
    sheets = pipe_sheets(targets, rng) if form == "pipe" else plate_sheets(targets, form, rng)
    diameter = sheets[0].outside_diameter_mm
    shape = {"pipe": "convex", "same": "convex", "two": "convex", "gauge": "flat"}.get(form, form)
    coupon = coupon_of(shape, sheets[0], diameter=diameter, rng=rng)
    window = sheets[0].window_mm is not None
    block = Block(
        s_mm=rng.uniform(-18, 18) if diameter is None else rng.uniform(-5, 5),
        t_mm=0.0,
        length_mm=rng.uniform(10, 25),
        width_mm=rng.uniform(6, 8 if window else 12),
        thickness_mm=float(rng.choice(STEPS_MM)),
        angle_deg=float(rng.normal(0, 8)),
    )
    side = -1.0 if not coupon.metal.ground.flat else float(rng.choice([-1, 1]))
    block = replace(block, t_mm=side * (coupon.half_mm + 3.5 + block.width_mm / 2))
    if diameter is not None:
        block = replace(block, length_mm=8.0, width_mm=16.0, angle_deg=0.0)
        block = replace(block, t_mm=float(np.sign(block.t_mm)) * (coupon.half_mm + 12.0))
    with_step = rng.random() < 0.55 and abs(block.t_mm) + block.width_mm / 2 < (
        18.5 if window else 30
    )
    blocks: tuple[Block, ...] = (block,) if with_step else ()
    if form == "gauge":
        blocks = tuple(
            Block(s_mm=-10.0 + 8.0 * n, t_mm=1.0, length_mm=8.0, width_mm=14.0, thickness_mm=h,
                  kind="gauge")
            for n, h in enumerate(STAIR_MM)
        )  # fmt: skip
    reach = abs(block.t_mm) + block.width_mm / 2 if with_step else coupon.half_mm
    reach = max(reach, 10.0) if form == "gauge" else reach
    laid = lay_sheets(sheets, clear_mm=reach + rng.uniform(2.5, 5), rng=rng, diameter=diameter)
    if not coupon.metal.ground.flat and not window:
        laid = on_low_side(laid)
    middle = float(np.mean([piece.lie.t_mm for piece in laid]))
    return Scene(
        name=name,
        seed=seed,
        kind="pair",
        coupon=name,
        description=f"pair, {form}, {coupon.process or 'no weld'}, {coupon.metal.base}",
        process=coupon.process,
        metal=coupon.metal,
        view=view_of(
            size=PHOTO_PX, look_mm=(rng.uniform(-5, 5), middle * 0.5), rng=rng, pipe=True,
            scale_px_per_mm=(9.5, 13.0) if window else (11.0, 17.0),
        ),
        skin=coupon.skin,
        lighting=str(rng.choice([k for k in LIGHTINGS if k not in {"flash", "ring"}])),
        table=str(rng.choice(TABLES)),
        development=development_of(rng),
        passes=coupon.passes,
        laid=laid,
        magnets=magnets_of(laid, rng) if rng.random() < 0.3 else (),
        viewer_azimuth=float(rng.uniform(0, 2 * np.pi)),
        blocks=blocks,
        tags=("pair", form),
    )  # fmt: skip


def _moved(
    view: View, angle_deg: float, axis_deg: float, rng: np.random.Generator, *, still: bool
) -> View:
    """The phone moved so that it sees the same point from a direction turned by an angle."""
    back = direction(view)
    for turn in (angle_deg, -angle_deg):
        moved = turned(back, turn, axis_deg)
        if np.degrees(np.arccos(moved[2])) < MOST_TILT_DEG:
            break
    at = np.array(view.at_st_mm) + (0.0 if still else rng.normal(0, 3, 2))
    spin = 0.0 if still else float(rng.normal(0, 6) + 90 * rng.choice([0, 0, 0, 0, 1, -1, 2]))
    return View(
        width_px=view.width_px,
        height_px=view.height_px,
        focal_equiv_mm=view.focal_equiv_mm,
        at_st_mm=(float(at[0]), float(at[1])),
        distance_mm=view.distance_mm * (1.0 if still else rng.uniform(0.9, 1.12)),
        tilt_deg=float(np.degrees(np.arccos(moved[2]))),
        tilt_towards_deg=float(np.degrees(np.arctan2(moved[1], moved[0]))),
        roll_deg=view.roll_deg + spin,
        k1=view.k1,
        k2=view.k2,
        centre_shift_px=view.centre_shift_px,
        lens_mm=view.lens_mm,
        focus_off_mm=float(rng.normal(0, 2)),
    )


def direction(view: View) -> Floats:
    """Unit vector (3,) from the metal to the phone."""
    tilt, towards = np.radians([view.tilt_deg, view.tilt_towards_deg])
    return np.array([np.sin(tilt) * np.cos(towards), np.sin(tilt) * np.sin(towards), np.cos(tilt)])


def turned(vector: Floats, angle_deg: float, axis_deg: float) -> Floats:
    """A unit vector turned by an angle about the axis of the metal's plane nearest square to it."""
    axis = np.array([np.cos(np.radians(axis_deg)), np.sin(np.radians(axis_deg)), 0.0])
    axis = axis - vector * (axis @ vector)
    axis /= np.linalg.norm(axis)
    angle = np.radians(angle_deg)
    return np.asarray(
        vector * np.cos(angle) + np.cross(axis, vector) * np.sin(angle), dtype=np.float64
    )
