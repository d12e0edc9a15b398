"""Weld beads as height fields with an exact outline: one run, caps of several runs, a second weld.

Lengths are in pixels of the finished picture. The outline is where `outside_px` is zero.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import torch
from dice import Dice, look_up, smooth_step
from torch import Tensor

LINE_SAMPLES = 4096
LINE_STEP_PX = 0.5
WIDTH_RANGE_PX = (8.0, 160.0)
STRIP_WIDTH_RANGE_PX = (40.0, 100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """Where a run lies; every field is (B, 1, 1)."""

    centre_x: Tensor
    centre_y: Tensor
    angle: Tensor
    width_px: Tensor
    begin_px: Tensor
    end_px: Tensor
    present: Tensor


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One run on the canvas; every field is (B, H, W) unless it is a number a picture.

    Attributes
    ----------
    outside_px
        About the distance outside the toe line; negative on the weld face.
    band_px
        The same, as if the run had no ends.
    across, along_px
        Position across (-1 and 1 at the toes) and along the run.
    height_px, relief_px
        Height of the weld face above the base metal: its smooth part, and its ripples' part.
    ripple
        Where in its ripple a point lies, 0 to 1.
    """

    outside_px: Tensor
    band_px: Tensor
    across: Tensor
    along_px: Tensor
    height_px: Tensor
    relief_px: Tensor
    ripple: Tensor
    width_px: Tensor


def draw_pose(dice: Dice, height: int, width: int, *, strip: Tensor) -> Pose:
    """Draw the pose of a picture's main run; strips lie level and mostly run right through."""
    level = 0.12 * dice.normal() + 3.14159 * dice.chance(0.5)
    anyhow = dice.uniform(0, 6.2832)
    anyhow = torch.where(
        dice.chance(0.45) > 0, torch.round(anyhow / 1.5708) * 1.5708 + 0.2 * dice.normal(), anyhow
    )
    wide = dice.log_uniform(*WIDTH_RANGE_PX)
    strip_wide = dice.log_uniform(*STRIP_WIDTH_RANGE_PX)
    weld_width = torch.where(strip > 0, strip_wide, wide)
    reach = float(height**2 + width**2) ** 0.5 / 2
    through = torch.where(strip > 0, dice.chance(0.75), dice.chance(0.4))
    length = weld_width * dice.log_uniform(1.5, 40)
    middle = dice.uniform(-0.6, 0.6) * reach
    begin = torch.where(through > 0, torch.full_like(length, -3 * reach), middle - length / 2)
    end = torch.where(through > 0, torch.full_like(length, 3 * reach), middle + length / 2)
    one_end = dice.chance(0.35) * (1 - through)
    end = torch.where(one_end > 0, torch.full_like(length, 3 * reach), end)
    spread = torch.where(strip > 0, 0.12, 0.30)
    return Pose(
        centre_x=torch.where(strip > 0, 0.0, dice.uniform(-0.3, 0.3) * width),
        centre_y=dice.normal() * spread * height,
        angle=torch.where(strip > 0, level, anyhow),
        width_px=weld_width,
        begin_px=begin,
        end_px=end,
        present=torch.ones_like(length),
    )


def neighbour_pose(dice: Dice, pose: Pose, number: int, *, same_weld: Tensor) -> Pose:
    """Draw the pose of the next run of the same cap, or of a second weld that lies anyhow."""
    offset = pose.width_px * number * dice.uniform(0.45, 0.85)
    shifted_x = pose.centre_x - torch.sin(pose.angle) * offset
    shifted_y = pose.centre_y + torch.cos(pose.angle) * offset
    jitter = pose.width_px * 0.4
    return replace(
        pose,
        centre_x=torch.where(same_weld > 0, shifted_x, 150 * dice.normal()),
        centre_y=torch.where(same_weld > 0, shifted_y, 150 * dice.normal()),
        angle=torch.where(
            same_weld > 0, pose.angle + 0.01 * dice.normal(), dice.uniform(0, 6.2832)
        ),
        width_px=pose.width_px * dice.uniform(0.8, 1.2),
        begin_px=pose.begin_px + jitter * dice.normal(),
        end_px=pose.end_px + jitter * dice.normal(),
        present=pose.present,
    )


def _lines(dice: Dice, pose: Pose, spacing_px: Tensor) -> Tensor:
    """Draw centre, both half widths, ripple jitter, strength along a run: (B, 5, 1, N)."""
    width = pose.width_px
    flat = width[:, 0]

    def noise(low: float, high: float) -> Tensor:
        return dice.line_noise(LINE_SAMPLES, LINE_STEP_PX, low * width, high * width)

    calm = dice.log_uniform(0.25, 1.6)[:, 0] * 0.04
    fine = dice.log_uniform(0.1, 1.5)[:, 0] * 0.02
    ends = dice.chance(0.15)[:, 0] * 0.12
    wander = noise(3, 30) * calm * 1.5
    left = 1 + calm * noise(1.5, 15) + fine * noise(0.08, 0.8) + ends * noise(1.5, 4)
    right = 1 + calm * noise(1.5, 15) + fine * noise(0.08, 0.8) + ends * noise(1.5, 4)
    jitter = noise(0.3, 4) * spacing_px[:, 0] * dice.log_uniform(0.03, 1.2)[:, 0]
    strength = 1 + 0.3 * noise(0.5, 6)
    rows = (
        flat * wander,
        flat / 2 * left.clamp(0.4, 2),
        flat / 2 * right.clamp(0.4, 2),
        jitter,
        strength,
    )
    return torch.stack(rows, dim=1)[:, :, None]


def lay_run(dice: Dice, pose: Pose, x: Tensor, y: Tensor) -> Run:
    """Lay one run in the pose given over canvas points x, y, each (B, H, W)."""
    width = pose.width_px
    cos, sin = torch.cos(pose.angle), torch.sin(pose.angle)
    dx, dy = x - pose.centre_x, y - pose.centre_y
    u, v = cos * dx + sin * dy, cos * dy - sin * dx
    bend = dice.chance(0.35) * dice.normal() * 0.0005
    v = v - bend * u * u
    spacing = width * dice.log_uniform(0.05, 0.55)
    place = u / LINE_STEP_PX + LINE_SAMPLES / 2
    read = look_up(_lines(dice, pose, spacing), place, torch.full_like(place, 0.5))
    centre, left, right, jitter, strength = read.unbind(dim=1)
    v = v - centre
    beat = (u + jitter) / spacing
    scallop = dice.chance(0.4) * dice.uniform(0.0, 0.14) * (spacing / width * 4).clamp(0, 1)
    lobes = 1 - scallop * (2 * torch.remainder(beat, 1) - 1) ** 2
    half = torch.where(v > 0, right, left) * lobes
    across = v / half
    nose = width / 2 * dice.uniform(0.5, 1.5)
    tail = width / 2 * dice.uniform(0.5, 1.5)
    past_end = (u - (pose.end_px - nose)).clamp_min(0) / nose
    past_begin = (pose.begin_px + tail - u).clamp_min(0) / tail
    radius = torch.sqrt(across**2 + past_end**2 + past_begin**2 + 1e-9)
    height = _crown(dice, pose, u, across, radius, strength)
    ripple, relief = _ripples(dice, beat, across, spacing, width)
    return Run(
        outside_px=torch.where(pose.present > 0, (radius - 1) * half, 4 * width + 400),
        band_px=(across.abs() - 1) * half,
        across=across,
        along_px=u,
        height_px=height * pose.present,
        relief_px=relief * strength.clamp(0.2, 2) * pose.present,
        ripple=ripple,
        width_px=width,
    )


def _crown(
    dice: Dice, pose: Pose, u: Tensor, across: Tensor, radius: Tensor, strength: Tensor
) -> Tensor:
    """Height of the smooth face: crowned, flat or dished, with lump, crater, toe fillet."""
    width = pose.width_px
    raised = width * dice.log_uniform(0.04, 0.35)
    crown = torch.where(dice.chance(0.12) > 0, -width * dice.uniform(0.01, 0.10), raised)
    power = dice.log_uniform(1.5, 5.0)
    shape = 1 - radius.clamp_min(1e-3) ** power
    lump = torch.exp(-(((u - pose.begin_px - width * 0.6) / (0.5 * width)) ** 2))
    crater_depth = dice.chance(0.6) * dice.uniform(0.2, 1.1)
    crater_at = ((u - pose.end_px + width * 0.5) / (width * 0.3)) ** 2 + (across / 0.6) ** 2
    swell = 1 + 0.4 * dice.chance(0.4) * lump + 0.15 * (strength - 1)
    height = crown * shape * swell - crown.abs() * crater_depth * torch.exp(-crater_at)
    fillet = crown.abs() * dice.log_uniform(0.02, 0.5)
    rounded = 0.5 * (height + torch.sqrt(height**2 + fillet**2))
    skew = 1 + dice.chance(0.3) * dice.uniform(-0.5, 0.5) * across.clamp(-1, 1)
    return torch.where(crown > 0, rounded * skew, height.clamp_max(0) * skew)


def _ripples(
    dice: Dice, beat: Tensor, across: Tensor, spacing: Tensor, width: Tensor
) -> tuple[Tensor, Tensor]:
    """Ripple position (0 to 1) and relief in px: overlapping discs, chevrons, or a rough wave."""
    hang = (0.5 * width / spacing * dice.log_uniform(0.08, 1.3)).clamp_max(8)
    arc = hang * across.abs().clamp_max(1.2) ** dice.uniform(1.1, 3.2)
    skew = dice.normal(0.25) * across
    phase = dice.sign() * beat + arc + skew
    ripple = torch.remainder(phase, 1)
    wave = 0.5 + 0.5 * torch.cos(6.2832 * ripple)
    step = (1 - ripple) ** dice.log_uniform(0.5, 2.5) * smooth_step(
        0.0, dice.uniform(0.06, 0.3), ripple
    )
    mix = dice.uniform(0, 1)
    relief = mix * wave + (1 - mix) * step
    visible = smooth_step(1.0, 3.0, spacing) * dice.chance(0.93)
    fade = 1 - dice.uniform(0.2, 1.0) * across.abs().clamp_max(1) ** 3
    return ripple, spacing * dice.log_uniform(0.015, 0.22) * relief * fade * visible
