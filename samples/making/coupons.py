"""Coupons for height photos, drawn at random: convex, undercut, underfilled, stepped, grooved."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from samples.making.card import Sheet, read_sheets
from samples.making.heat import Skin
from samples.making.recipe import Laid, Metal, Passes
from samples.making.styles import passes_of, skin_of
from samples.making.variety import ends_of, metal_of
from samples.making.weld import Ground, Undercut

FORMS = ("convex", "undercut", "underfill", "misaligned", "groove", "flat")
PHOTO_PX = (2400, 1800)
ROOM_MM = 3.0  # of bare metal between a toe and what lies beside it, at the least


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupon:
    """A welded coupon before a target is laid on it."""

    process: str | None
    metal: Metal
    passes: Passes | None
    skin: Skin

    @property
    def half_mm(self) -> float:
        """Half width of the weld or the groove, about the middle line."""
        if self.passes is None:
            return 2.0
        spread = max(abs(v) for v in self.passes.offsets_mm)
        return max(self.passes.style.width_mm / 2 + spread, self.metal.ground.groove_half_mm)


def coupon_of(
    form: str,
    sheet: Sheet,
    *,
    diameter: float | None,
    rng: np.random.Generator,
    at_mm: float = 0.0,
) -> Coupon:
    """Draw a coupon of a form; what mars the weld lies about `at_mm` along it."""
    process = None if form == "flat" else str(rng.choice(_processes(form)))
    stainless = bool(rng.random() < 0.6) if process is None or "gtaw" in process else False
    metal = metal_of(process, stainless=stainless, diameter=diameter, rng=rng)
    # Spatter balls would hide what the truth says of outline and line.
    metal = replace(metal, spatter=metal.spatter // 3, ground=_ground(form, rng))
    if form == "groove":
        metal = replace(metal, thickness_mm=rng.uniform(10, 14))
    skin = skin_of(process or "gtaw", stainless=stainless, rng=rng)
    if process is None:
        return Coupon(process=None, metal=metal, passes=None, skin=skin)
    if metal.ground.flat:
        start, end = ends_of(metal, sheet, rng)
    elif diameter is None:
        start, end = metal.span_mm[0] + 1.0, metal.span_mm[1] - 1.0
    else:
        start, end = 0.8 * metal.span_mm[0], 0.8 * metal.span_mm[1]
    passes = passes_of(process, start=start, end=end, rng=rng)
    passes = _shaped(form, passes, metal.ground, rng)
    if form == "undercut":
        passes = replace(passes, undercuts=(_undercut(at_mm + rng.uniform(-8, 8), rng),))
    return Coupon(process=process, metal=metal, passes=passes, skin=skin)


def on_low_side(laid: tuple[Laid, ...]) -> tuple[Laid, ...]:
    """The first sheet alone, on the side of the lower part, which heights count from."""
    piece = laid[0]
    if piece.lie.t_mm < 0:
        return (piece,)
    lie = replace(piece.lie, t_mm=-piece.lie.t_mm, angle_deg=piece.lie.angle_deg + 180.0)
    return (replace(piece, lie=lie),)


def _processes(form: str) -> list[str]:
    if form in {"convex", "undercut"}:
        return ["smaw", "gmaw", "weave", "multi", "gtaw"]
    return ["smaw", "gmaw", "gtaw", "gtaw-pulsed"]


def _ground(form: str, rng: np.random.Generator) -> Ground:
    if form == "misaligned":
        return Ground(step_mm=rng.uniform(0.3, 2.0))
    if form == "groove":
        return Ground(
            groove_half_mm=rng.uniform(5.0, 7.5),
            bevel_deg=rng.uniform(27, 35),
            root_half_mm=rng.uniform(0.8, 1.6),
        )
    return Ground()


def _shaped(form: str, passes: Passes, ground: Ground, rng: np.random.Generator) -> Passes:
    style = passes.style
    if form == "underfill":
        style = replace(
            style,
            crown_mm=-rng.uniform(0.3, 1.5),
            toe_power=rng.uniform(2.2, 5.0),
            lump_mm=0.0,
            crater_mm=0.2,
        )
        return replace(passes, style=style, undercuts=(), offsets_mm=(0.0,))
    if form == "groove":
        room = (ground.groove_half_mm - ground.root_half_mm - 0.6) / np.tan(
            np.radians(ground.bevel_deg)
        )
        depth = rng.uniform(1.0, min(5.0, room))
        half = ground.groove_half_mm - depth * np.tan(np.radians(ground.bevel_deg))
        style = replace(
            style,
            width_mm=2 * half,
            crown_mm=-rng.uniform(0.2, 0.9),
            wander_mm=0.06,
            waviness_mm=0.06,
            scallop=0.01,
            weave_mm=0.0,
            pitch_mm=min(style.pitch_mm, 0.4 * half),
            lump_mm=0.0,
            crater_mm=0.2,
        )
        return replace(passes, style=style, undercuts=(), offsets_mm=(0.0,))
    crown = min(rng.uniform(0.5, 4.0), 0.38 * style.width_mm)
    passes = replace(passes, style=replace(style, crown_mm=crown))
    if form == "misaligned":
        return replace(passes, undercuts=(), offsets_mm=passes.offsets_mm[:1])
    return passes


def _undercut(middle_mm: float, rng: np.random.Generator) -> Undercut:
    return Undercut(
        side=str(rng.choice(["lo", "hi"])),
        start_mm=middle_mm - rng.uniform(18, 40),
        end_mm=middle_mm + rng.uniform(18, 40),
        depth_mm=rng.uniform(0.2, 1.0),
        width_mm=rng.uniform(0.5, 2.0),
    )


def plate_sheets(targets: Path, form: str, rng: np.random.Generator) -> tuple[Sheet, ...]:
    """Draw a target for plate; a window card does not lie flat on parts at different heights."""
    kinds = [read_sheets(file) for file in sorted(targets.glob("*.toml"))]
    plates = [k for k in kinds if k[0].radius_mm is None]
    if form == "misaligned":
        plates = [k for k in plates if k[0].window_mm is None]
    return plates[rng.integers(len(plates))]


def pipe_sheets(targets: Path, rng: np.random.Generator) -> tuple[Sheet, ...]:
    """Draw a strip for pipe."""
    kinds = [read_sheets(file) for file in sorted(targets.glob("*.toml"))]
    strips = [k for k in kinds if k[0].outside_diameter_mm is not None]
    return strips[rng.integers(len(strips))]
