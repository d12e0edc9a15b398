"""Photos all the way round a pipe coupon, drawn at random: one invented phone, held in the hand."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from samples.making.camera import FULL_FRAME_DIAGONAL_MM
from samples.making.develop import Development
from samples.making.lights import LIGHTINGS
from samples.making.photo_setup import MIDDLE
from samples.making.recipe import Scene, View
from samples.making.ring_coupons import KINDS, Flaws, RingCoupon, ring_coupon
from samples.making.table import TABLES
from samples.making.variety import development_of

FOCAL_MM = (35.0, 48.0, 50.0)  # of a full frame: what shows a sixth of a pipe without stooping
OVERLAP_DEG = (15.0, 30.0)
STRANGER = 500  # added to the seed: another coupon of the same kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One photo of the set, and why it is there: "view", "duplicate" or "stranger"."""

    scene: Scene
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A coupon, its photos in the order of their file names, and what is not as it should be."""

    name: str
    coupon: RingCoupon
    flaws: Flaws
    shots: tuple[Shot, ...]
    left_out_s_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Phone:
    """What stays the same from photo to photo."""

    focal: float
    lens_mm: float
    k1: float
    k2: float
    centre_shift_px: tuple[float, float]
    development: Development


def draw_ring(name: str, seed: int, *, kind: str, flaws: Flaws, targets: Path) -> Ring:
    """Draw a coupon and its photos, in shuffled order and turned any way."""
    rng = np.random.default_rng([seed, 0])
    coupon = ring_coupon(KINDS[kind], flaws, targets=targets, rng=rng)
    phone = _phone(rng)
    room = _room(seed, coupon, phone, rng)
    turn = coupon.wrap.turn_mm
    count = coupon.kind.photos
    places = turn * (rng.random() + (np.arange(count) + rng.uniform(-0.06, 0.06, count)) / count)
    shots = [
        Shot(scene=_photo(room, coupon, phone, float(place), rng), role="view") for place in places
    ]
    left_out = None
    if flaws.missing:
        left_out = shots.pop(int(rng.integers(count))).scene.view.at_st_mm[0]
    if flaws.duplicate:
        again = float(rng.choice([shot.scene.view.at_st_mm[0] for shot in shots]))
        place = again + rng.normal(0, 0.01) * turn
        shots.append(Shot(scene=_photo(room, coupon, phone, place, rng), role="duplicate"))
    if flaws.stranger:
        other_rng = np.random.default_rng([seed + STRANGER, 0])
        other = ring_coupon(coupon.kind, Flaws(), targets=targets, rng=other_rng)
        bench = _room(seed + STRANGER, other, phone, other_rng)
        place = float(rng.random() * turn)
        shots.append(Shot(scene=_photo(bench, other, phone, place, rng), role="stranger"))
    order = rng.permutation(len(shots))
    named = [
        replace(shots[k], scene=replace(shots[k].scene, name=f"photo-{n + 1}", shot=n))
        for n, k in enumerate(order)
    ]
    return Ring(name=name, coupon=coupon, flaws=flaws, shots=tuple(named), left_out_s_mm=left_out)


def _phone(rng: np.random.Generator) -> _Phone:
    u = rng.uniform
    return _Phone(
        focal=float(rng.choice(FOCAL_MM)),
        lens_mm=u(0.3, 0.8),
        k1=round(float(rng.normal(0, 0.03)), 4),
        k2=round(float(rng.normal(0, 0.015)), 4),
        centre_shift_px=(round(float(rng.normal(0, 8)), 2), round(float(rng.normal(0, 8)), 2)),
        development=replace(
            development_of(rng), motion_px=0.0, blur_px=u(0.5, 1.1), noise=10 ** u(-3.8, -2.8)
        ),
    )


def _room(seed: int, coupon: RingCoupon, phone: _Phone, rng: np.random.Generator) -> Scene:
    """The coupon on its bench; each photo only moves the phone and rolls the pipe."""
    process = coupon.kind.process
    return Scene(
        name="",
        seed=seed,
        description=f"{coupon.kind.pipe}, {process}, {coupon.metal.base}",
        process=process,
        metal=coupon.metal,
        view=_view((0.0, 0.0), 0.0, coupon, phone, rng),
        skin=coupon.skin,
        lighting=str(rng.choice(LIGHTINGS, p=[0.32, 0.22, 0.1, 0.08, 0.04, 0.2, 0.04])),
        table=str(rng.choice(TABLES)),
        development=phone.development,
        passes=coupon.passes,
        laid=(coupon.laid,),
        viewer_azimuth=float(rng.uniform(0, 2 * np.pi)),
        tags=("pipe", process, "ring"),
    )


def _photo(
    room: Scene, coupon: RingCoupon, phone: _Phone, place: float, rng: np.random.Generator
) -> Scene:
    """A photo of the coupon about a place; the pipe is rolled so that it lies nearly on top."""
    turn = coupon.wrap.turn_mm
    place = (place + turn / 2) % turn - turn / 2
    across = coupon.laid.lie.t_mm * rng.uniform(0.35, 0.55) + rng.normal(0, 2.0)
    how = phone.development
    return replace(
        room,
        view=_view((place, across), float(rng.uniform(*OVERLAP_DEG)), coupon, phone, rng),
        rolled_deg=float(360.0 * place / turn + rng.normal(0, 15.0)),
        development=replace(
            how,
            exposure=how.exposure * rng.uniform(0.92, 1.08),
            turned=bool(rng.random() < 0.4),
        ),
    )


def _view(
    at_st_mm: tuple[float, float],
    overlap_deg: float,
    coupon: RingCoupon,
    phone: _Phone,
    rng: np.random.Generator,
) -> View:
    """Hold the phone so that its picture's long side spans its share of the turn and more."""
    radius = coupon.wrap.radius_mm
    half = np.radians(360.0 / coupon.kind.photos + overlap_deg) / 2
    focal_px = phone.focal / FULL_FRAME_DIAGONAL_MM * float(np.hypot(*MIDDLE))
    # The ends of the arc lie deeper than its middle.
    reach = focal_px * 2 * radius * np.sin(half) / (0.96 * max(MIDDLE))
    distance = max(reach - radius * (1 - np.cos(half)), 110.0) * rng.uniform(1.0, 1.08)
    roll = rng.normal(0, 7) + float(rng.choice([0, 0, 90, 180, -90]))
    portrait = abs(np.sin(np.radians(roll))) > 0.71
    long_px, short_px = max(MIDDLE), min(MIDDLE)
    return View(
        width_px=short_px if portrait else long_px,
        height_px=long_px if portrait else short_px,
        focal_equiv_mm=phone.focal,
        at_st_mm=at_st_mm,
        distance_mm=float(distance),
        tilt_deg=float(min(abs(rng.normal(0, 6)), 13.0)),
        tilt_towards_deg=float(rng.uniform(0, 360)),
        roll_deg=float(roll),
        k1=phone.k1,
        k2=phone.k2,
        centre_shift_px=phone.centre_shift_px,
        lens_mm=phone.lens_mm,
        focus_off_mm=float(rng.uniform(1, 7)),
    )
