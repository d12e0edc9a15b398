"""The canvas of a made-up picture: its points on the metal and the welds laid over them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import torch
from bead_shapes import Pose, Run, draw_pose, lay_run, neighbour_pose
from dice import Dice, smooth_step
from lighting import slopes
from plates import Textures, clouds, grains
from torch import Tensor

STEP_PX = 0.5  # the canvas is twice as fine as the finished picture
NEGATIVE_SHARE = 0.13


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The canvas and the welds on it; (B, H, W) each.

    Attributes
    ----------
    x, y
        Positions on the metal, in px of the finished picture.
    weld
        Share of the point's footprint that is weld face, by the exact outline.
    outside_px
        Distance outside the toe, about.
    height_px
        Height of the weld face with its ripples; 0 on the base metal.
    ripple
        Where in its ripple a point lies, 0 to 1.
    """

    x: Tensor
    y: Tensor
    pose: Pose
    run: Run
    weld: Tensor
    outside_px: Tensor
    height_px: Tensor
    ripple: Tensor


def _canvas(dice: Dice, height: int, width: int) -> tuple[Tensor, Tensor]:
    """Points of the canvas seen in perspective, origin in the picture's middle."""
    rows = (torch.arange(2 * height, device=dice.device) + 0.5) / 2 - height / 2
    columns = (torch.arange(2 * width, device=dice.device) + 0.5) / 2 - width / 2
    y, x = rows[None, :, None], columns[None, None]
    keystone = 1 + (dice.normal(0.12) * x + dice.normal(0.12) * y) / (width / 2)
    keystone = keystone.clamp(0.6, 1.6)
    return x / keystone, y / keystone


def coverage(outside: Tensor) -> Tensor:
    """Share of each canvas point's footprint inside the outline where `outside` is zero."""
    along_x, along_y = slopes(outside, STEP_PX)
    steep = torch.sqrt(along_x**2 + along_y**2).clamp_min(1e-3)
    return (0.5 - outside / (steep * STEP_PX)).clamp(0, 1)


def lay_welds(
    dice: Dice, textures: Textures, height: int, width: int, *, strip_share: float
) -> Ground:
    """Lay one weld of one to four runs, or two welds, or none, over a canvas of 2h by 2w points."""
    x, y = _canvas(dice, height, width)
    pose = draw_pose(dice, height, width, strip=dice.chance(strip_share))
    pose = replace(pose, present=1 - dice.chance(NEGATIVE_SHARE))
    run = lay_run(dice, pose, x, y)
    outside, face, relief, ripple = run.outside_px, run.height_px, run.relief_px, run.ripple
    same_weld = dice.chance(0.75)
    for number in range(1, dice.of_batch.choice((1, 1, 1, 2, 3, 4))):
        next_pose = neighbour_pose(dice, pose, number, same_weld=same_weld)
        there = pose.present * dice.chance(0.5)
        other = lay_run(dice, replace(next_pose, present=there), x, y)
        on_top = (other.outside_px < 0) & (there > 0)
        outside = torch.minimum(outside, other.outside_px)
        face = torch.where(there > 0, torch.maximum(face, other.height_px), face)
        relief = torch.where(on_top, other.relief_px, relief)
        ripple = torch.where(on_top, other.ripple, ripple)
    weld = coverage(outside)
    texel = run.width_px * dice.log_uniform(0.003, 0.03) + 0.05
    bumps = run.width_px * dice.log_uniform(0.0005, 0.02) * clouds(dice, textures, x, y, texel)
    return Ground(
        x=x, y=y, pose=pose, run=run, weld=weld, outside_px=outside,
        height_px=face + weld * (relief + bumps), ripple=ripple,
    )  # fmt: skip


def relief_px(dice: Dice, textures: Textures, ground: Ground) -> Tensor:
    """Height of the metal (B, H, W): welds, undercut, a groove's bevels, spatter and pits."""
    width = ground.run.width_px
    height = ground.height_px
    offset = width * dice.uniform(0.02, 0.12)
    narrow = width * dice.uniform(0.015, 0.08)
    patchy = smooth_step(-0.5, 1.0, clouds(dice, textures, ground.x, ground.y, width / 20))
    depth = dice.chance(0.35) * width * dice.uniform(0.005, 0.06)
    groove = torch.exp(-(((ground.outside_px - offset) / narrow) ** 2))
    height = height - depth * patchy * groove * (1 - ground.weld)
    pitted = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(0.08, 0.8))
    pitted = dice.chance(0.25) * dice.log_uniform(0.03, 0.6) * pitted
    height = height + pitted * (1 - ground.weld)
    bevel = width * dice.uniform(0.1, 0.6)
    wall = torch.maximum(ground.run.band_px - bevel, -2 * bevel).clamp_max(0) * dice.uniform(
        0.2, 0.9
    )
    height = height + dice.chance(0.12) * wall * (1 - 0.7 * ground.weld)
    for share, low, high in ((0.3, 8.0, 60.0), (0.2, 30.0, 150.0)):
        inside, radius = grains(dice, ground.x, ground.y, dice.log_uniform(low, high))
        ball = radius * torch.sqrt(1 - (1 - inside) ** 2) * (inside > 0)
        height = height + dice.chance(share) * dice.uniform(-0.3, 1) * ball
    return height
