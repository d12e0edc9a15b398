"""What lies on and around the welded plate: tint, dirt, marks, edges, printed cards, rods."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from dice import Dice, blend, look_up, smooth_step
from ground import Ground, coverage
from lighting import slopes
from plates import Finish, Textures, clouds, drawn, film_colour, lay_over, metal, paint, tinted
from torch import Tensor


@dataclass(frozen=True, slots=True, kw_only=True)
class Covering:
    """The finish of the whole picture so far, and where something other than the plate shows."""

    finish: Finish
    other: Tensor


def plate_finish(dice: Dice, textures: Textures, ground: Ground) -> Finish:
    """Finish of the base metal: sides that may differ, and a ground band with a ragged edge."""
    x, y, run = ground.x, ground.y, ground.run
    along, width = ground.pose.angle, ground.run.width_px
    here = metal(dice, textures, x, y, along=along)
    finish = here
    if (unlike := dice.chance_in_some(0.3)) is not None:
        there = metal(dice, textures, x, y, along=along)
        finish = lay_over(here, there, (run.across > 0).float() * unlike)
    band = metal(dice, textures, x, y, along=along)
    ragged = (
        clouds(dice, textures, x, y, dice.log_uniform(0.1, 1.5))
        * width
        * dice.log_uniform(0.02, 0.5)
    )
    lean = dice.normal(0.05) * run.along_px
    inside = dice.log_uniform(0.15, 4) * width - run.band_px + ragged + lean
    one_side = torch.where(dice.chance(0.3) > 0, dice.sign() * run.across * width, inside)
    soft = dice.log_uniform(0.6, 12)
    band_alpha = dice.chance(0.5) * smooth_step(
        -soft, soft, torch.minimum(inside, one_side + width)
    )
    return lay_over(finish, band, band_alpha)


def heat_marked(dice: Dice, textures: Textures, finish: Finish, ground: Ground) -> Finish:
    """Add heat tint, a dark heated band and a pale or sooty fringe beside the bead."""
    width = ground.run.width_px
    plain = torch.where(
        ground.pose.present > 0, ground.outside_px, ground.run.band_px + width * 0.4
    )
    wave = 1 + 0.15 * clouds(dice, textures, ground.x, ground.y, dice.log_uniform(0.3, 3))
    out = plain.clamp_min(0) * wave / width
    reach = dice.log_uniform(0.08, 1.6)
    thickness = dice.uniform(50, 900) * torch.exp(-((out / reach) ** dice.uniform(0.8, 2.5)))
    strength = dice.chance(0.65) * dice.uniform(0.2, 0.95)
    finish = tinted(finish, film_colour(thickness, strength * smooth_step(8.0, 40.0, thickness)))
    edge = dice.log_uniform(0.05, 1.2)
    soft = edge * dice.log_uniform(0.05, 1)
    dark = (
        dice.chance(0.3) * dice.uniform(0.2, 0.9) * (1 - smooth_step(edge - soft, edge + soft, out))
    )
    finish = tinted(finish, (1 - dark)[:, None])
    speck = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(0.1, 1))
    fringe_at = dice.uniform(0, 0.6)
    fringe = torch.exp(-(((out - fringe_at) / dice.log_uniform(0.03, 0.5)) ** 2))
    fringe = dice.chance(0.25) * dice.uniform(0.1, 0.9) * fringe * smooth_step(-1.0, 1.5, speck)
    soot = torch.exp(dice.normal(1.3) - 1.4)[:, None] * torch.exp(
        0.1 * dice.normals(dice.batch, 3, 1, 1)
    )
    finish = lay_over(finish, paint(dice, soot.clamp(0.005, 0.9)), fringe)
    if (there := dice.chance_in_some(0.2)) is None:
        return finish
    blot = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(0.7, 5))
    soft = dice.log_uniform(0.05, 0.8)
    blot = smooth_step(-soft, soft, blot - dice.uniform(0.0, 1.5)) * torch.exp(
        -out / dice.log_uniform(0.2, 10)
    )
    return tinted(finish, (1 - there * dice.uniform(0.3, 0.97) * blot)[:, None])


def weld_finish(dice: Dice, textures: Textures, base: Finish, ground: Ground) -> Finish:
    """Finish of the weld face: bright to black, coloured by ripple, with slag left on it."""
    x, y, width = ground.x, ground.y, ground.run.width_px
    own = metal(dice, textures, x, y, along=ground.pose.angle)
    smooth = dice.chance(0.85)[:, None]
    own = Finish(
        mirror=own.mirror,
        matt=own.matt,
        roughness=own.roughness,
        smear=own.smear * (1 - smooth),
        slope=own.slope * (1 - smooth),
    )
    face = lay_over(base, own, (1 - dice.chance(0.22) * dice.uniform(0.3, 1)))
    stain = clouds(dice, textures, x, y, width * dice.log_uniform(0.003, 0.04) + 0.05)
    change = clouds(
        dice, textures, ground.run.along_px, 0 * x, width * dice.log_uniform(0.01, 0.15) + 0.05
    )
    level = dice.uniform(0, 600) + dice.uniform(-250, 250) * ground.ripple + 60 * stain
    level = (level + dice.uniform(0, 250) * change).clamp_min(0)
    level = level + dice.uniform(-200, 200) * ground.run.across.abs().clamp_max(1.2)
    face = tinted(face, film_colour(level, dice.chance(0.5) * dice.uniform(0.1, 0.9)))
    seam = dice.chance(0.4) * dice.uniform(0, 0.6) * smooth_step(0.0, 0.25, 1 - ground.ripple)
    face = tinted(face, (1 - 0.5 * seam * ground.ripple)[:, None])
    islands = dice.chance(0.25) * smooth_step(0.0, 0.3, stain - dice.uniform(0.3, 2.0))
    crust = dice.log_uniform(0.01, 0.6)[:, None] * torch.exp(
        0.25 * dice.normals(dice.batch, 3, 1, 1)
    )
    return lay_over(face, paint(dice, crust), islands)


def marked(dice: Dice, textures: Textures, finish: Finish, ground: Ground) -> Finish:
    """Add chalk and paint strokes, scratches and a scribed or open joint line."""
    for bank, share, low, high in (
        (textures.strokes, 0.3, 0.5, 3.0),
        (textures.scratches, 0.5, 0.5, 2.5),
    ):
        if (there := dice.chance_in_some(share)) is None:
            continue
        alpha = there * drawn(dice, bank, ground.x, ground.y, dice.log_uniform(low, high))
        speck = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(0.05, 0.3))
        alpha = alpha * dice.uniform(0.3, 1) * smooth_step(-1.5, 0.5, speck + dice.uniform(0, 2))
        tone = dice.log_uniform(0.02, 1.0)[:, None] * torch.exp(
            0.5 * dice.normals(dice.batch, 3, 1, 1)
        )
        finish = lay_over(finish, paint(dice, tone.clamp(0.01, 1.2)), alpha)
    gap = dice.chance(0.25) * (1 - ground.weld)
    half = dice.log_uniform(0.4, 0.12 * 60)
    offset = ground.run.across * ground.run.width_px / 2
    line = gap * smooth_step(0.0, 1.0, half - offset.abs())
    return tinted(finish, (1 - dice.uniform(0.5, 0.97) * line)[:, None])


def _beyond_edges(dice: Dice, ground: Ground, height: int, width: int) -> Tensor:
    """Share of each point that lies beyond the plate, cut by up to three straight edges."""
    beyond = torch.full_like(ground.x, -1e4)
    reach = 0.5 * float(height**2 + width**2) ** 0.5
    for share in (0.4, 0.25, 0.2):
        square = ground.pose.angle + 1.5708 * torch.round(dice.uniform(0, 4)) + 0.05 * dice.normal()
        turn = torch.where(dice.chance(0.8) > 0, square, dice.uniform(0, 6.2832))
        bend = dice.chance(0.2) * dice.normal() * 0.0008
        along = torch.cos(turn) * ground.y - torch.sin(turn) * ground.x
        past = torch.cos(turn) * ground.x + torch.sin(turn) * ground.y + bend * along**2
        past = past - reach * dice.uniform(0.15, 0.95)
        beyond = torch.maximum(beyond, torch.where(dice.chance(share) > 0, past, -1e4))
    return beyond


def with_background(
    dice: Dice, textures: Textures, finish: Finish, ground: Ground, size: tuple[int, int]
) -> Covering:
    """Cut the plate by its edges and lay bench, floor, wood or darkness beyond."""
    beyond = _beyond_edges(dice, ground, *size)
    alpha = 1 - coverage(beyond)
    bench = metal(dice, textures, ground.x, ground.y, along=ground.pose.angle)
    stretch = dice.log_uniform(0.05, 1)
    turn = dice.uniform(0, 6.2832)
    a = torch.cos(turn) * ground.x + torch.sin(turn) * ground.y
    b = torch.cos(turn) * ground.y - torch.sin(turn) * ground.x
    grain = clouds(dice, textures, a * stretch, b, dice.log_uniform(0.2, 2))
    tone = dice.log_uniform(0.01, 0.8)[:, None] * torch.exp(0.3 * dice.normals(dice.batch, 3, 1, 1))
    flat = paint(dice, tone * torch.exp(dice.log_uniform(0.02, 0.6) * grain)[:, None])
    bench = lay_over(bench, flat, dice.chance(0.55))
    rim = torch.exp(-(((beyond + 1) / dice.log_uniform(0.6, 4)) ** 2)) * dice.chance(0.5)
    finish = tinted(finish, torch.exp(dice.normal(0.8) * rim)[:, None])
    drop = (
        dice.chance(0.6)
        * dice.uniform(0, 0.9)
        * torch.exp(-beyond.clamp_min(0) / dice.log_uniform(4, 60))
    )
    return Covering(finish=lay_over(finish, tinted(bench, (1 - drop)[:, None]), alpha), other=alpha)


def with_cards(dice: Dice, textures: Textures, covering: Covering, ground: Ground) -> Covering:
    """Lay printed cards: beside the bead, on both its sides as a window's rims, or anywhere."""
    width = ground.run.width_px
    finish, other = covering.finish, covering.other
    gap = width * dice.log_uniform(0.04, 3)
    window = dice.chance(0.15)
    if (any_card := dice.chance_in_some(0.4)) is None:
        return covering
    for number, share in enumerate((0.9, 0.3)):
        there = torch.maximum(dice.chance(share), window) * any_card
        anywhere = dice.chance(0.3) * (1 - window)
        turn = torch.where(
            anywhere > 0, dice.uniform(0, 6.2832), ground.pose.angle + 0.04 * dice.normal()
        )
        half_a, half_b = dice.log_uniform(40, 500), dice.log_uniform(25, 200)
        side = torch.where(window > 0, float(2 * number - 1), dice.sign())
        beside = side * (width * 0.55 + gap + half_b)
        slide = 120 * dice.normal()
        cx = torch.where(
            anywhere > 0,
            170 * dice.normal(),
            ground.pose.centre_x - torch.sin(turn) * beside + torch.cos(turn) * slide,
        )
        cy = torch.where(
            anywhere > 0,
            130 * dice.normal(),
            ground.pose.centre_y + torch.cos(turn) * beside + torch.sin(turn) * slide,
        )
        a = torch.cos(turn) * (ground.x - cx) + torch.sin(turn) * (ground.y - cy)
        b = torch.cos(turn) * (ground.y - cy) - torch.sin(turn) * (ground.x - cx)
        outside = torch.maximum(a.abs() - half_a, b.abs() - half_b)
        alpha = coverage(torch.where(there > 0, outside, 1e4 + outside))
        scale = dice.log_uniform(0.25, 1.6)
        page = textures.cards[dice.pick(len(textures.cards))]
        ink = look_up(page, a / scale + 128, b / scale + 128)[:, 0]
        paper = dice.uniform(0.35, 0.95)[:, None] * torch.exp(
            0.06 * dice.normals(dice.batch, 3, 1, 1)
        )
        sheet = paint(
            dice, paper * blend(dice.uniform(0.02, 0.15), torch.ones_like(ink), ink)[:, None]
        )
        edge = (
            dice.uniform(0, 0.7)
            * torch.exp(-outside.clamp_min(0) / dice.log_uniform(0.5, 6))
            * there
        )
        finish = lay_over(tinted(finish, (1 - edge)[:, None]), sheet, alpha)
        other = torch.maximum(other, alpha)
    return Covering(finish=finish, other=other)


def with_rod(
    dice: Dice, textures: Textures, covering: Covering, ground: Ground
) -> tuple[Covering, Tensor]:
    """Lay a rod, hose or finger: also its height in px, for light and shadow."""
    thick = dice.log_uniform(3, 60)
    turn = torch.where(
        dice.chance(0.5) > 0, ground.pose.angle + 0.1 * dice.normal(), dice.uniform(0, 6.2832)
    )
    centre_x, centre_y = 150 * dice.normal(), 110 * dice.normal()
    a = torch.cos(turn) * (ground.x - centre_x) + torch.sin(turn) * (ground.y - centre_y)
    b = torch.cos(turn) * (ground.y - centre_y) - torch.sin(turn) * (ground.x - centre_x)
    past = (a.abs() - dice.log_uniform(60, 800)).clamp_min(0)
    if (there := dice.chance_in_some(0.1)) is None:
        return covering, torch.zeros_like(ground.x)
    radius = torch.where(there > 0, torch.sqrt(past**2 + b**2), torch.full_like(a, 1e3))
    cover = coverage(radius - thick)
    height = torch.sqrt((thick**2 - radius**2).clamp_min(0)) * dice.uniform(0.5, 1)
    own = metal(dice, textures, ground.x, ground.y, along=turn)
    skin = dice.log_uniform(0.05, 0.7)[:, None] * torch.exp(0.3 * dice.normals(dice.batch, 3, 1, 1))
    own = lay_over(own, paint(dice, skin), dice.chance(0.5))
    finish = lay_over(covering.finish, own, cover)
    return Covering(finish=finish, other=torch.maximum(covering.other, cover)), height


def tilted_normals(
    dice: Dice, ground: Ground, height: Tensor, finish: Finish, step_px: float
) -> Tensor:
    """Surface normals (B, 3, H, W): relief, grain, plates at an angle, and a pipe's curve."""
    along_x, along_y = slopes(height, step_px)
    cos, sin = torch.cos(ground.pose.angle), torch.sin(ground.pose.angle)
    offset = ground.run.across * ground.run.width_px / 2
    angle_of_plates = dice.chance(0.25) * dice.uniform(-0.9, 0.9)
    step = torch.tanh(offset / (0.35 * ground.run.width_px)) * angle_of_plates
    step = step + dice.chance(0.3) * dice.normal(0.4) * (offset / 400).clamp(-1.5, 1.5)
    curve = dice.chance(0.4) * dice.uniform(-1, 1) * (ground.run.along_px / 300).clamp(-1.5, 1.5)
    nx = -along_x + finish.slope[:, 0] - sin * step + cos * curve
    ny = -along_y + finish.slope[:, 1] + cos * step + sin * curve
    normal = torch.stack((nx, ny, torch.ones_like(nx)), dim=1)
    return normal / torch.linalg.vector_norm(normal, dim=1, keepdim=True)
