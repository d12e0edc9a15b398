"""Side-on photos of pipe, drawn at random."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from samples.making.card import Lie, Sheet, read_sheets
from samples.making.coupons import PHOTO_PX, ROOM_MM, Coupon, coupon_of, on_low_side
from samples.making.laying import lay_sheets
from samples.making.lights import BACKDROPS, LIGHTINGS
from samples.making.recipe import Laid, Scene, View
from samples.making.stage import set_stage
from samples.making.table import TABLES
from samples.making.truth import markers
from samples.making.variety import development_of

# Common outside diameters, for cards that wrap round any pipe: ASME B36.10M, NPS 2 to 10.
DIAMETERS_MM = (60.3, 88.9, 114.3, 168.3, 219.1, 273.0)
LEAST_MARKERS = 3
TRIES = 60
FARTHEST_MM = 280.0
ROOM_FOR_PHONE_MM = 40.0


def side_on_scene(name: str, seed: int, *, form: str, targets: Path) -> Scene:
    """The phone looks along the pipe's tangent; form "hidden" leaves the outline out of sight."""
    rng = np.random.default_rng([seed, 0])
    sheet, diameter = _target(targets, rng)
    clock = _clock_deg(rng)
    s_limb = float(np.radians(clock) * diameter / 2)
    shape = "convex" if form == "hidden" else form
    coupon = coupon_of(shape, sheet, diameter=diameter, rng=rng, at_mm=s_limb)
    from_low = clock > 20 or (abs(clock) <= 20 and rng.random() < 0.5)
    over_table = [
        _eye_over_table_mm(clock, diameter, from_low=low) for low in (from_low, not from_low)
    ]
    if over_table[0] < min(ROOM_FOR_PHONE_MM, over_table[1]):
        from_low = not from_low
    laid = _lay(coupon, sheet, rng, diameter=diameter, s_limb=s_limb, from_low=from_low)
    if not coupon.metal.ground.flat:
        laid = on_low_side(laid)
    bench = abs(clock) > 70  # the phone looks down on the bench
    scene = Scene(
        name=name,
        seed=seed,
        kind="side-on",
        description=f"side-on, {form}, {coupon.process or 'no weld'}, OD {diameter}",
        process=coupon.process,
        metal=coupon.metal,
        view=_view(rng, s_limb=s_limb, from_low=from_low, hidden=form == "hidden"),
        skin=coupon.skin,
        lighting=str(rng.choice([k for k in LIGHTINGS if k not in {"ring", "flash"}])),
        table=str(rng.choice(TABLES)),
        development=development_of(rng),
        passes=coupon.passes,
        laid=laid,
        backdrop=None if bench else str(rng.choice([*BACKDROPS, "wall", "shop"])),
        tags=("side-on", form),
    )
    for _ in range(TRIES):
        stage = set_stage(scene)
        if sum(marker["in_view"] for marker in markers(stage, 0)) >= LEAST_MARKERS:
            break
        view = _view(rng, s_limb=s_limb, from_low=from_low, hidden=form == "hidden")
        scene = replace(scene, view=view)
    return scene


def _target(targets: Path, rng: np.random.Generator) -> tuple[Sheet, float]:
    sheets = [s for file in sorted(targets.glob("*.toml")) for s in read_sheets(file)[:1]]
    strips = [s for s in sheets if s.outside_diameter_mm is not None]
    cards = [s for s in sheets if s.radius_mm is None and s.window_mm is None and s.height_mm < 35]
    if cards and rng.random() < 0.45:
        return cards[rng.integers(len(cards))], float(rng.choice(DIAMETERS_MM))
    strip = strips[rng.integers(len(strips))]
    assert strip.outside_diameter_mm is not None  # noqa: S101  (they were chosen by it)
    return strip, strip.outside_diameter_mm


def _eye_over_table_mm(clock_deg: float, diameter: float, *, from_low: bool) -> float:
    """How high over the table the phone's lens is at the least; the pipe lies on the table."""
    clock = np.radians(clock_deg)
    rise = np.sin(clock) if from_low else -np.sin(clock)
    return float(diameter / 2 * (1 + np.cos(clock)) + FARTHEST_MM * min(rise, 0.0))


def _clock_deg(rng: np.random.Generator) -> float:
    where = rng.random()
    side = float(rng.choice([-1, 1]))
    if where < 0.5:
        return float(rng.uniform(-20, 20))
    return side * float(rng.uniform(20, 70) if where < 0.8 else rng.uniform(80, 95))


def _lay(
    coupon: Coupon,
    sheet: Sheet,
    rng: np.random.Generator,
    *,
    diameter: float,
    s_limb: float,
    from_low: bool,
) -> tuple[Laid, ...]:
    clear = coupon.half_mm + ROOM_MM + rng.uniform(0, 5)
    if sheet.outside_diameter_mm is not None:
        return lay_sheets((sheet,), clear_mm=clear, rng=rng, diameter=diameter)
    side = float(rng.choice([-1, 1]))
    reach = min(rng.uniform(25, 60), 0.5 * diameter)
    return (
        Laid(
            sheet=sheet,
            lie=Lie(
                s_mm=s_limb + (-reach if from_low else reach),
                t_mm=side * (clear + sheet.height_mm / 2),
                angle_deg=180.0 * (rng.random() < 0.5) + rng.normal(0, 0.8),
                ink_mm=rng.uniform(0, 0.05),
            ),
        ),
    )


def _view(rng: np.random.Generator, *, s_limb: float, from_low: bool, hidden: bool) -> View:
    size = PHOTO_PX if rng.random() < 0.75 else PHOTO_PX[::-1]
    focal = float(rng.choice([26.0, 26.0, 35.0, 48.0]))
    focal_px = focal / 43.2666 * float(np.hypot(*size))
    distance = float(np.clip(focal_px / rng.uniform(9, 18), 120, FARTHEST_MM))
    psi = (
        rng.normal(0, 1.4) if rng.random() < 0.6 else float(rng.choice([-1, 1])) * rng.uniform(2, 6)
    )
    lens = rng.random() < 0.5
    half_view = float(np.degrees(np.arctan(size[1] / 2 / focal_px)))
    down = 40.0 if hidden else rng.uniform(0.05, 0.6) * half_view
    upright = 180.0 if from_low else 0.0
    return View(
        width_px=size[0],
        height_px=size[1],
        focal_equiv_mm=focal,
        at_st_mm=(s_limb, float(rng.normal(0, 2))),
        distance_mm=distance,
        tilt_deg=90.0,
        tilt_towards_deg=upright + psi,
        roll_of="t",
        roll_deg=upright + rng.normal(0, 5) + 90.0 * float(rng.choice([0, 0, 0, 1, -1])),
        turned_deg=(float(rng.normal(0, 4)), -float(down)),
        k1=round(float(rng.normal(0, 0.04)), 4) if lens else 0.0,
        k2=round(float(rng.normal(0, 0.02)), 4) if lens else 0.0,
        lens_mm=rng.uniform(0.2, 1.1),
        focus_off_mm=float(rng.normal(0, 3)),
    )
