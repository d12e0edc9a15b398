"""Scenes drawn at random: what may come before a learner's phone."""

from pathlib import Path

import numpy as np

from samples.making.card import Sheet, read_sheets
from samples.making.develop import Development
from samples.making.laying import lay_sheets, magnets_of
from samples.making.lights import LIGHTINGS
from samples.making.recipe import Metal, Scene, View
from samples.making.styles import passes_of, skin_of
from samples.making.table import TABLES

WORDS = (
    "T3",
    "Moth",
    "PA 2",
    "HQ 7",
    "Tern 4",
    "root ok",
    "Brisk",
    "1G",
    "B-12",
    "Gull",
    "cap",
    "x",
)
PROCESSES = ("gtaw-pulsed", "gtaw", "gmaw", "smaw", "weave", "multi")


def metal_of(
    process: str | None, *, stainless: bool, diameter: float | None, rng: np.random.Generator
) -> Metal:
    """A coupon for a process."""
    if diameter is None:
        half_s, half_t = rng.uniform(58, 85), rng.uniform(45, 68)
        span = (-half_s, half_s * rng.uniform(0.9, 1.1), -half_t, half_t * rng.uniform(0.9, 1.1))
    else:
        round_mm = diameter / 2 * np.pi
        span = (-round_mm, round_mm, -rng.uniform(45, 75), rng.uniform(45, 75))
    base = str(
        rng.choice(
            ["brushed", "cold_rolled", "ground_all", "brushed"]
            if stainless
            else ["mill_scale", "mill_scale", "ground_all", "cold_rolled", "blasted"]
        )
    )
    words = []
    for _ in range(int(rng.choice([0, 0, 1, 1, 2]))):
        s, t = (
            rng.uniform(span[0] + 5, max(span[0] + 6, min(span[1], 60) - 45)),
            rng.choice([span[2] + 3, span[3] - 14]),
        )
        s = s if diameter is None else rng.uniform(-45, 10)
        words.append(
            (str(rng.choice(WORDS)), s, float(t), float(rng.normal(0, 8)), bool(rng.random() < 0.6))
        )
    spatter = {"gmaw": 35, "smaw": 70, "weave": 50, "multi": 50}.get(process or "", 0)
    return Metal(
        span_mm=tuple(float(v) for v in span),
        thickness_mm=rng.uniform(3, 12),
        base=base,
        outside_diameter_mm=diameter,
        stainless=stainless,
        band_mm=rng.uniform(10, 26) if base == "mill_scale" and rng.random() < 0.8 else 0.0,
        band_brushed=bool(rng.random() < 0.3),
        rust=rng.uniform(0.1, 0.6) if not stainless and rng.random() < 0.25 else 0.0,
        scratches=int(rng.integers(0, 60)),
        seam=bool(rng.random() < 0.4),
        stripe_tint=process is None and rng.random() < 0.5,
        spatter=int(spatter * rng.uniform(0, 1.6)),
        writing=tuple(words),
    )


def view_of(
    *,
    size: tuple[int, int],
    look_mm: tuple[float, float],
    rng: np.random.Generator,
    pipe: bool,
    scale_px_per_mm: tuple[float, float],
) -> View:
    """Hold the phone somewhere over the weld."""
    long_px, short_px = max(size), min(size)
    roll = rng.normal(0, 10) if rng.random() < 0.6 else rng.uniform(-180, 180)
    roll += 180 * (rng.random() < 0.3)
    portrait = abs(np.sin(np.radians(roll))) > 0.71
    focal = float(rng.choice([26.0, 26.0, 28.0, 35.0, 48.0, 50.0]))
    focal_px = focal / 43.2666 * float(np.hypot(*size))
    distance = float(np.clip(focal_px / rng.uniform(*scale_px_per_mm), 120, 300))
    tilt = float(abs(rng.normal(0, 12))) if rng.random() < 0.75 else rng.uniform(15, 35)
    lens = rng.random() < 0.5
    return View(
        width_px=short_px if portrait else long_px,
        height_px=long_px if portrait else short_px,
        focal_equiv_mm=focal,
        at_st_mm=look_mm,
        distance_mm=distance,
        tilt_deg=min(tilt, 20 if pipe else 35),
        tilt_towards_deg=rng.uniform(0, 360),
        roll_deg=float(roll),
        k1=round(float(rng.normal(0, 0.04)), 4) if lens else 0.0,
        k2=round(float(rng.normal(0, 0.02)), 4) if lens else 0.0,
        centre_shift_px=(round(float(rng.normal(0, 8)), 2), round(float(rng.normal(0, 8)), 2))
        if lens
        else (0.0, 0.0),
        lens_mm=rng.uniform(0.3, 1.6),
        focus_off_mm=float(rng.normal(0, 2.5)),
    )


def development_of(rng: np.random.Generator) -> Development:
    """A phone's processing, from good to poor."""
    u = rng.uniform
    poor = rng.random() < 0.15
    return Development(
        blur_px=u(1.2, 2.2) if poor else u(0.5, 1.1),
        motion_px=u(1, 4) if rng.random() < 0.12 else 0.0,
        motion_deg=u(0, 180),
        exposure=u(0.13, 0.34),
        noise=10 ** u(-2.6, -1.9) if poor else 10 ** u(-3.8, -2.6),
        warmth=rng.normal(0, 0.05),
        contrast=u(0.1, 0.5) if rng.random() < 0.35 else 0.0,
        sharpening=u(0.2, 0.6) if rng.random() < 0.35 else 0.0,
        vignette=u(0, 0.3),
        quality=int(rng.integers(75, 96)),
        turned=bool(rng.random() < 0.15),
    )


def random_scene(
    name: str,
    seed: int,
    *,
    kind: str,
    plate_files: tuple[Path, ...],
    pipe_files: dict[float, Path],
    size: tuple[int, int] = (1600, 1200),
    scale_px_per_mm: tuple[float, float] = (7.5, 14.0),
) -> Scene:
    """Draw a scene: `kind` is plate, pipe or negative (a target, but no weld)."""
    rng = np.random.default_rng([seed, 0])
    pipe = kind == "pipe"
    diameter = float(rng.choice(sorted(pipe_files))) if pipe else None
    process = (
        None
        if kind == "negative"
        else str(rng.choice(PROCESSES, p=[0.28, 0.12, 0.22, 0.2, 0.1, 0.08]))
    )
    stainless = (
        bool(rng.random() < 0.65) if process is None or process.startswith("gtaw") else False
    )
    metal = metal_of(process, stainless=stainless, diameter=diameter, rng=rng)
    passes, clear = None, 9.0
    file = (
        pipe_files[diameter]
        if diameter is not None
        else plate_files[rng.integers(len(plate_files))]
    )
    sheets = read_sheets(file)
    if process is not None:
        ends = ends_of(metal, sheets[0], rng)
        passes = passes_of(process, start=ends[0], end=ends[1], rng=rng)
        spread = max(passes.offsets_mm) - min(passes.offsets_mm)
        clear = (passes.style.width_mm + spread) / 2 + rng.uniform(2.5, 6)
    laid = lay_sheets(sheets, clear_mm=clear, rng=rng, diameter=diameter)
    tall = sheets[0].window_mm is not None
    if tall:  # the card is as tall as the picture: step back
        scale_px_per_mm = (scale_px_per_mm[0] * 0.9, scale_px_per_mm[1] * 0.75)
    middle = float(np.mean([piece.lie.t_mm for piece in laid]))
    look = (rng.uniform(-6, 6), middle * (0.7 if tall else 0.5) + rng.uniform(-4, 4))
    return Scene(
        name=name,
        seed=seed,
        description=f"{kind}, {process or 'no weld'}, {metal.base}",
        process=process,
        metal=metal,
        view=view_of(size=size, look_mm=look, rng=rng, pipe=pipe, scale_px_per_mm=scale_px_per_mm),
        skin=skin_of(process or "gtaw", stainless=stainless, rng=rng),
        lighting=str(rng.choice(LIGHTINGS, p=[0.28, 0.2, 0.14, 0.08, 0.08, 0.14, 0.08])),
        table=str(rng.choice(TABLES)),
        development=development_of(rng),
        passes=passes,
        laid=laid,
        rods=int(rng.choice([0, 0, 0, 1, 2])),
        tags=(kind, process or "negative"),
        magnets=magnets_of(laid, rng) if not pipe and rng.random() < 0.4 else (),
    )


def ends_of(metal: Metal, sheet: Sheet, rng: np.random.Generator) -> tuple[float, float]:
    """Where a weld starts and ends on its coupon."""
    s0, s1 = metal.span_mm[:2]
    window = sheet.window_mm
    if window is not None:  # a bead stands higher than the card: it must end within the window
        room = (window[2] - window[0]) / 2
        return -room + rng.uniform(1.5, 8), room - rng.uniform(1.5, 8)
    if metal.outside_diameter_mm is not None:
        return 0.72 * s0, 0.72 * s1
    if rng.random() < 0.4:  # run on beyond the picture: as near the plate's edges as it goes
        return s0 + 2.5, s1 - 2.5
    return s0 + rng.uniform(8, 24), s1 - rng.uniform(8, 24)
