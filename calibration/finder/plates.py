"""The metal around the bead and what else lies in the picture: finish, bands, tint, dirt, tools."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from dice import Dice, blend, look_up, smooth_step
from torch import Tensor


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """How a surface answers light; (B, C, H, W) with C = 3, 3, 1, 2, 2.

    Attributes
    ----------
    mirror, matt
        Reflectance of the mirror-like and of the matt part.
    roughness
        0 sharp mirror, 1 blurred all over.
    smear
        Direction across the grain times how far it smears the mirror image.
    slope
        Tilt of the fine grain.
    """

    mirror: Tensor
    matt: Tensor
    roughness: Tensor
    smear: Tensor
    slope: Tensor


def lay_over(under: Finish, over: Finish, alpha: Tensor) -> Finish:
    """Cover a finish with another where alpha (B, H, W) is 1."""
    a = alpha[:, None]
    return Finish(
        mirror=blend(under.mirror, over.mirror, a),
        matt=blend(under.matt, over.matt, a),
        roughness=blend(under.roughness, over.roughness, a),
        smear=blend(under.smear, over.smear, a),
        slope=blend(under.slope, over.slope, a),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Textures:
    """One bank of each kind on the device."""

    white: Tensor
    clouds: Tensor
    strokes: Tensor
    scratches: Tensor
    cards: Tensor
    rooms: Tensor


def clouds(dice: Dice, textures: Textures, x: Tensor, y: Tensor, texel_px: Tensor) -> Tensor:
    """Cloud noise of unit spread at (B, H, W)."""
    bank = textures.clouds[dice.pick(len(textures.clouds))]
    turn = dice.uniform(0, 6.2832)
    across = (torch.cos(turn) * x + torch.sin(turn) * y) / texel_px + dice.uniform(0, 512)
    down = (torch.cos(turn) * y - torch.sin(turn) * x) / texel_px + dice.uniform(0, 512)
    return look_up(bank, across, down)[:, 0]


def _tone(dice: Dice, low: float, high: float, colour: float) -> Tensor:
    """Draw a grey level with a slight colour: (B, 3, 1, 1)."""
    level = dice.log_uniform(low, high)[:, None]
    return level * torch.exp(colour * dice.normals(dice.batch, 3, 1, 1))


def metal(dice: Dice, textures: Textures, x: Tensor, y: Tensor, *, along: Tensor) -> Finish:
    """Draw a metal finish: brushed or swirled, ground, blasted, scaled, oxidised or rusty."""
    far = dice.log_uniform(60, 6000)
    toward = torch.where(
        dice.chance(0.55) > 0,
        along + 1.5708 * dice.chance(0.5) + 0.15 * dice.normal(),
        dice.uniform(0, 6.2832),
    )
    dx, dy = x + far * torch.cos(toward), y + far * torch.sin(toward)
    radius = torch.sqrt(dx**2 + dy**2)
    arc = (
        torch.atan2(
            dy * torch.cos(toward) - dx * torch.sin(toward),
            dx * torch.cos(toward) + dy * torch.sin(toward),
        )
        * far
    )
    grain_px, length_px = dice.log_uniform(0.6, 4.0), dice.log_uniform(8, 400)
    bank = textures.white[dice.pick(len(textures.white))]
    grain = look_up(bank, (radius - far) / grain_px + 256, arc / length_px + 256)[:, 0]
    bank = textures.white[dice.pick(len(textures.white))]
    grain = (
        grain
        + dice.uniform(0, 1)
        * look_up(bank, (radius - far) / (6 * grain_px) + 256, arc / (2 * length_px) + 256)[:, 0]
    )
    blotch = clouds(dice, textures, x, y, dice.log_uniform(0.3, 4.0))
    speck = clouds(dice, textures, x, y, dice.log_uniform(0.15, 0.6))
    brushed = dice.chance(0.8) * dice.log_uniform(0.15, 1.3)
    across_grain = torch.stack((dx / radius, dy / radius), dim=1)
    scaled = dice.chance(0.35)
    mirror = _tone(dice, 0.25, 1.0, 0.03) * (1 - 0.75 * scaled * dice.uniform(0.3, 1))[:, None]
    matt = _tone(dice, 0.003, 0.12, 0.06) * (1 + 2 * scaled)[:, None]
    stain = (
        dice.log_uniform(0.015, 0.25) * blotch
        + dice.chance(0.35) * dice.log_uniform(0.02, 0.3) * speck
    )
    shade = torch.exp(stain + 0.22 * brushed * grain).clamp(0.15, 4)[:, None]
    rust = dice.chance(0.25) * smooth_step(
        dice.uniform(-1.5, 2.0), dice.uniform(2.0, 2.6), blotch + 0.4 * speck
    )
    rough = (dice.log_uniform(0.06, 0.9) + 0.05 * blotch + 0.4 * rust).clamp(0.03, 1)
    rust_tone = torch.tensor((0.30, 0.13, 0.06), device=x.device).view(1, 3, 1, 1) * _tone(
        dice, 0.3, 1.6, 0.15
    )
    jag = across_grain * (brushed * grain)[:, None] * dice.log_uniform(0.01, 0.2)[:, None]
    return Finish(
        mirror=mirror * shade * (1 - 0.9 * rust[:, None]),
        matt=blend(matt * shade, rust_tone * torch.exp(0.3 * speck)[:, None], rust[:, None]),
        roughness=rough[:, None],
        smear=across_grain * (brushed * dice.log_uniform(0.06, 0.9))[:, None],
        slope=jag,
    )


def paint(dice: Dice, tone: Tensor) -> Finish:
    """Make a matt finish of one tone, (B, 3, H or 1, W or 1); its other fields are (B, C, 1, 1)."""
    return Finish(
        mirror=0.04 * dice.uniform(0, 2, 3),
        matt=tone,
        roughness=dice.uniform(0.1, 0.8)[:, None],
        smear=torch.zeros(dice.batch, 2, 1, 1, device=tone.device),
        slope=torch.zeros(dice.batch, 2, 1, 1, device=tone.device),
    )


def film_colour(thickness_nm: Tensor, strength: Tensor) -> Tensor:
    """Colour factor (B, 3, H, W), order R G B, of a thin oxide film: straw, purple, blue."""
    bands = torch.tensor((640.0, 545.0, 455.0), device=thickness_nm.device).view(1, 3, 1, 1)
    phase = 6.2832 * thickness_nm[:, None] / bands
    return 1 - strength[:, None] * (0.5 - 0.5 * torch.cos(phase))


def tinted(finish: Finish, factor: Tensor) -> Finish:
    """Multiply a finish's colours by a factor (B, 3 or 1, H, W)."""
    return Finish(
        mirror=finish.mirror * factor,
        matt=finish.matt * factor,
        roughness=finish.roughness,
        smear=finish.smear,
        slope=finish.slope,
    )


def drawn(dice: Dice, bank: Tensor, x: Tensor, y: Tensor, scale: Tensor) -> Tensor:
    """Coverage (B, H, W) of a drawn page laid anyhow over the canvas."""
    page = bank[dice.pick(len(bank))]
    side = bank.shape[-1]
    turn = dice.uniform(0, 6.2832)
    across = (torch.cos(turn) * x + torch.sin(turn) * y) / scale + side * dice.uniform(0.2, 0.8)
    down = (torch.cos(turn) * y - torch.sin(turn) * x) / scale + side * dice.uniform(0.2, 0.8)
    return look_up(page, across, down)[:, 0]


def grains(dice: Dice, x: Tensor, y: Tensor, cell_px: Tensor) -> tuple[Tensor, Tensor]:
    """Strew at most one ball a cell: (how far inside its ball, 0 to 1; its radius in px)."""
    turn = dice.uniform(0, 6.2832)
    a = (torch.cos(turn) * x + torch.sin(turn) * y) / cell_px + 1000 * dice.unit(dice.batch, 1, 1)
    b = (torch.cos(turn) * y - torch.sin(turn) * x) / cell_px + 1000 * dice.unit(dice.batch, 1, 1)
    ia, ib = torch.floor(a), torch.floor(b)

    def scramble(k: float) -> Tensor:
        return torch.remainder(torch.sin(ia * 127.1 + ib * 311.7 + k) * 43758.5453, 1.0)

    size = 0.04 + 0.2 * scramble(1.3) ** 3
    centre_a, centre_b = 0.3 + 0.4 * scramble(2.7), 0.3 + 0.4 * scramble(4.1)
    off = torch.sqrt((a - ia - centre_a) ** 2 + (b - ib - centre_b) ** 2) / size
    there = (scramble(7.9) < dice.uniform(0.02, 0.5)).float()
    return (1 - off).clamp(0, 1) * there, size * cell_px
