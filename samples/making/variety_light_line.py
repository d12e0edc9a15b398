"""Light-line photos, drawn at random: lasers and rule shadows, with and without a known step."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from samples.making.card import Sheet, read_sheets
from samples.making.coupons import (
    PHOTO_PX,
    ROOM_MM,
    Coupon,
    coupon_of,
    on_low_side,
    pipe_sheets,
    plate_sheets,
)
from samples.making.laying import lay_sheets
from samples.making.lights import LIGHTINGS
from samples.making.recipe import Block, Laid, Light, Scene
from samples.making.table import TABLES
from samples.making.variety import development_of, view_of

RED, GREEN = (1.0, 0.05, 0.02), (0.06, 1.0, 0.08)
STEPS_MM = (3.0, 4.0, 5.0, 6.0)  # key steel, and gauge blocks of these sizes
STAIR_MM = (1.0, 2.0, 3.0, 5.0)
# The one euro coin: Council Regulation (EU) No 729/2014, annex I.
EURO_DIAMETER_MM, EURO_THICKNESS_MM = 23.25, 2.33
WINDOW_HALF_MM = 20.0


def light_line_scenes(
    name: str, seed: int, *, form: str, targets: Path, lines: int = 1
) -> list[Scene]:
    """Photos of one coupon, each with the line at another place.

    Form "gauge" and "coin" are plates without a weld and with something of known height on them;
    "upright" has a sheet without slant, "soft" a line out of focus.
    """
    rng = np.random.default_rng([seed, 0])
    coupon, sheets, diameter = _coupon(form, targets, rng)
    light = _light(rng, form=form)
    step = _step(rng, coupon, window=sheets[0].window_mm is not None, diameter=diameter)
    with_step = rng.random() < 0.7 and form not in {"gauge", "coin"}
    laid = _lay(coupon, sheets, rng, diameter=diameter, step=step if with_step else None)
    base = Scene(
        name=name,
        seed=seed,
        kind="light-line",
        coupon=name if lines > 1 else None,
        description=f"{light.kind}, {form}, {coupon.process or 'no weld'}, {coupon.metal.base}",
        process=coupon.process,
        metal=coupon.metal,
        view=view_of(
            size=PHOTO_PX, look_mm=(0.0, 0.0), rng=rng, pipe=diameter is not None,
            scale_px_per_mm=(11.0, 20.0),
        ),
        skin=coupon.skin,
        lighting=str(rng.choice([k for k in LIGHTINGS if k not in {"flash", "ring"}])),
        table=str(rng.choice(TABLES)),
        development=development_of(rng),
        passes=coupon.passes,
        laid=laid,
        viewer_azimuth=float(rng.uniform(0, 2 * np.pi)),
        tags=("light-line", light.kind, form),
    )  # fmt: skip
    return [
        _with_line(base, k, lines, light, step if with_step else None, form, rng)
        for k in range(lines)
    ]


def _coupon(
    form: str, targets: Path, rng: np.random.Generator
) -> tuple[Coupon, tuple[Sheet, ...], float | None]:
    pipe = form in {"convex", "undercut"} and rng.random() < 0.25
    sheets = pipe_sheets(targets, rng) if pipe else plate_sheets(targets, form, rng)
    diameter = sheets[0].outside_diameter_mm
    shape = form if form in {"convex", "undercut", "underfill", "misaligned", "groove"} else "flat"
    shape = "convex" if form in {"upright", "soft"} else shape
    coupon = coupon_of(shape, sheets[0], diameter=diameter, rng=rng)
    if sheets[0].window_mm is not None and coupon.half_mm > WINDOW_HALF_MM - 13:
        sheets = read_sheets(targets / "plate-strips.toml")  # where a step finds room
    return coupon, sheets, diameter


def _light(rng: np.random.Generator, *, form: str) -> Light:
    kind = "laser" if rng.random() < 0.7 else "shadow"
    angle = float(rng.choice([-1, 1])) * rng.uniform(35, 60)
    return Light(
        kind=kind,
        s_mm=0.0,
        t_mm=0.0,
        azimuth_deg=float(np.clip(rng.normal(0, 11), -25, 25)),
        angle_deg=1.5 if form == "upright" else angle,
        reach_mm=rng.uniform(110, 250) if kind == "laser" else rng.uniform(250, 400),
        sigma_mm=rng.uniform(0.08, 0.25),
        colour=RED if rng.random() < 0.65 else GREEN,
        power=10 ** rng.uniform(0.7, 1.4) if kind == "laser" else rng.uniform(1.2, 5.0),
        fan_deg=rng.uniform(25, 50),
        speckle=rng.uniform(0.2, 0.7),
        grain_px=rng.uniform(0.5, 1.2),
        edge_mm=rng.uniform(9, 14),
        lamp_mm=rng.uniform(0.8, 3.0),
    )


def _step(
    rng: np.random.Generator, coupon: Coupon, *, window: bool, diameter: float | None
) -> Block:
    width = rng.uniform(6, 9) if window else rng.uniform(6, 14)
    side = -1.0 if not coupon.metal.ground.flat else float(rng.choice([-1, 1]))
    gap = rng.uniform(ROOM_MM, ROOM_MM + (1 if window else 4))
    return Block(
        s_mm=0.0,
        t_mm=side * (coupon.half_mm + gap + width / 2),
        length_mm=rng.uniform(8, 14) if diameter else rng.uniform(16, 40),
        width_mm=width,
        thickness_mm=float(rng.choice(STEPS_MM)),
        angle_deg=float(rng.normal(0, 2 if diameter else 5)),
    )


def _lay(
    coupon: Coupon,
    sheets: tuple[Sheet, ...],
    rng: np.random.Generator,
    *,
    diameter: float | None,
    step: Block | None,
) -> tuple[Laid, ...]:
    clear = coupon.half_mm + ROOM_MM + rng.uniform(0, 4)
    if step is not None:
        clear = abs(step.t_mm) + step.width_mm / 2 + rng.uniform(2, 5)
    if coupon.passes is None:
        clear = max(clear, 16.0)
    laid = lay_sheets(sheets, clear_mm=clear, rng=rng, diameter=diameter)
    if not coupon.metal.ground.flat and sheets[0].window_mm is None:
        laid = on_low_side(laid)
    if diameter is not None:  # markers must be in view: s 0 is up
        lie = replace(laid[0].lie, s_mm=rng.uniform(-0.5, 0.5) * np.pi * diameter)
        laid = (replace(laid[0], lie=lie),)
    return laid


def _with_line(
    base: Scene,
    k: int,
    lines: int,
    light: Light,
    step: Block | None,
    form: str,
    rng: np.random.Generator,
) -> Scene:
    reach = 22.0 if base.passes is None else 0.55 * min(-base.passes.start_mm, base.passes.end_mm)
    reach = min(reach, 26.0 if base.metal.outside_diameter_mm is None else 8.0)
    s = -reach + 2 * reach * (k + rng.uniform(0.2, 0.8)) / lines
    light = replace(light, s_mm=s, t_mm=0.0 if step is None else step.t_mm / 2)
    blocks = _things(form, light, step, rng)
    look = (
        s + rng.uniform(-8, 8),
        light.t_mm + float(np.mean([p.lie.t_mm for p in base.laid])) / 3,
    )
    view = replace(
        base.view,
        at_st_mm=look,
        roll_deg=base.view.roll_deg + (rng.normal(0, 4) if k else 0.0),
        distance_mm=base.view.distance_mm * (rng.uniform(0.93, 1.07) if k else 1.0),
        focus_off_mm=28.0 if form == "soft" else base.view.focus_off_mm,
        lens_mm=1.6 if form == "soft" else base.view.lens_mm,
    )
    suffix = "abcdefgh"[k] if lines > 1 else ""
    return replace(base, name=base.name + suffix, shot=k, view=view, light=light, blocks=blocks)


def _things(
    form: str, light: Light, step: Block | None, rng: np.random.Generator
) -> tuple[Block, ...]:
    """What lies under the line: the step or the things of known height."""
    slope = np.tan(np.radians(light.azimuth_deg))
    lean = np.tan(np.radians(light.angle_deg))

    def under(block: Block) -> Block:
        along = light.s_mm + (block.t_mm - light.t_mm) * slope
        shift = block.thickness_mm * lean + rng.uniform(-0.15, 0.15) * block.length_mm
        return replace(block, s_mm=float(along + shift))

    if form == "coin":
        coin = Block(
            s_mm=0.0, t_mm=rng.uniform(-2, 2), length_mm=EURO_DIAMETER_MM,
            width_mm=EURO_DIAMETER_MM, thickness_mm=EURO_THICKNESS_MM, kind="token",
        )  # fmt: skip
        return (under(coin),)
    if form == "gauge":
        turn = float(rng.choice([-1, 1]))
        stairs = [
            Block(
                s_mm=0.0, t_mm=turn * 7.0 * (n - 1.5), length_mm=24.0, width_mm=7.0,
                thickness_mm=h, kind="gauge",
            )
            for n, h in enumerate(STAIR_MM)
        ]  # fmt: skip
        middle = under(stairs[2]).s_mm
        return tuple(replace(stair, s_mm=middle) for stair in stairs)
    return () if step is None else (under(step),)
