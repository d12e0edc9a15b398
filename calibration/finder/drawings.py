"""Drawn textures, made once: chalk and scratch strokes, cards, the rooms that metal mirrors."""

from __future__ import annotations

from itertools import pairwise

import torch
from dice import Dice, gaussian_blur
from torch import Tensor

STROKE_SIDE = 384
CARD_SIDE = 256
ROOM_SIDE = 96
ROOM_BLURS_TEXELS = (0.7, 3.0, 9.0, 22.0)


def _distance_to_segment(points: Tensor, start: Tensor, end: Tensor) -> Tensor:
    along = end - start
    share = ((points - start) @ along / (along @ along).clamp_min(1e-6)).clamp(0, 1)
    return torch.linalg.vector_norm(points - start - share[..., None] * along, dim=-1)


def _polyline(dice: Dice, kind: int) -> tuple[Tensor, Tensor]:
    """Draw the corners of one stroke and its half width, by kind: long line, letter, scratch."""
    side = STROKE_SIDE
    origin = dice.unit(2) * side
    if kind == 1:
        steps = (dice.unit(5, 2) - 0.5) * (30 + 60 * dice.unit(1))
        return origin + torch.cumsum(steps, dim=0), 1.5 + 5 * dice.unit(1)
    heading = (dice.unit(1) * 6.2832 + 0.25 * dice.normals(5).cumsum(0))[:, None]
    reach = side * (0.05 + 0.4 * dice.unit(1)) / 4
    steps = reach * torch.cat((torch.cos(heading), torch.sin(heading)), dim=1)
    half_width = 0.4 + 0.8 * dice.unit(1) if kind == 2 else 1 + 6 * dice.unit(1) ** 2
    return origin + torch.cumsum(steps, dim=0), half_width


def stroke_bank(dice: Dice, count: int, *, scratches: bool) -> Tensor:
    """Coverage of hand-drawn strokes: (count, 1, side, side)."""
    axis = torch.arange(STROKE_SIDE, device=dice.device, dtype=torch.float32)
    points = torch.stack(torch.meshgrid(axis, axis, indexing="xy"), dim=-1)
    bank = torch.zeros(count, 1, STROKE_SIDE, STROKE_SIDE, device=dice.device)
    for page in bank:
        kind = 2 if scratches else int(dice.unit(1) < 0.5)
        for _ in range(3 + int(dice.unit(1) * (16 if scratches else 5))):
            corners, half_width = _polyline(dice, kind)
            strength = 0.4 + 0.6 * dice.unit(1)
            for start, end in pairwise(corners):
                cover = (half_width + 0.5 - _distance_to_segment(points, start, end)).clamp(0, 1)
                page[0] = torch.maximum(page[0], strength * cover)
    return bank


def _print_marker(page: Tensor, dice: Dice, left: int, top: int, side: int) -> None:
    cells = 4 + int(dice.unit(1) * 3)
    cell = side // (cells + 2)
    page[top : top + cell * (cells + 2), left : left + cell * (cells + 2)] = 0
    bits = (dice.unit(cells, cells) < 0.5).float()
    block = bits.repeat_interleave(cell, 0).repeat_interleave(cell, 1)
    page[top + cell : top + cell * (cells + 1), left + cell : left + cell * (cells + 1)] = block


def card_bank(dice: Dice, count: int) -> Tensor:
    """Print on paper, 1 paper and 0 ink: markers, ticks, bars, grids: (count, 1, side, side)."""
    bank = torch.ones(count, 1, CARD_SIDE, CARD_SIDE, device=dice.device)
    for page in bank[:, 0]:
        side = 30 + int(dice.unit(1) * 60)
        pitch = int(side * (1.2 + float(dice.unit(1))))
        if dice.unit(1) < 0.75:
            for top in range(8, CARD_SIDE - side, pitch if dice.unit(1) < 0.3 else 2 * CARD_SIDE):
                for left in range(6, CARD_SIDE - side, pitch):
                    _print_marker(page, dice, left, top, side)
        if dice.unit(1) < 0.6:
            gap = 3 + int(dice.unit(1) * 12)
            top = 120 + int(dice.unit(1) * 100)
            for number, left in enumerate(range(0, CARD_SIDE, gap)):
                tall = 14 if number % 5 == 0 else 7
                page[top : top + tall, left : left + 1 + gap // 6] = 0
        if dice.unit(1) < 0.3:
            page[-12:] = 0
    return bank


def room_bank(dice: Dice, count: int) -> Tensor:
    """Rooms as seen in a mirror: radiance at (count, levels, 3, side, side), sharp to blurred."""
    axis = torch.linspace(-1, 1, ROOM_SIDE, device=dice.device)
    x, y = torch.meshgrid(axis, axis, indexing="xy")
    rooms = torch.zeros(count, 3, ROOM_SIDE, ROOM_SIDE, device=dice.device)
    for room in rooms:
        tone = 0.08 * dice.normals(3, 1, 1)
        floor = torch.exp(1.2 * dice.normals(1) - 1.6)
        slope = (0.5 * dice.normals(2)).tolist()
        room.add_(floor * torch.exp(slope[0] * x + slope[1] * y)[None] * torch.exp(tone))
        for _ in range(1 + int(dice.unit(1) * 6)):
            angle = dice.unit(1) * 3.1416
            cx, cy = (1.5 * dice.unit(2) - 0.75).tolist()
            along = (x - cx) * torch.cos(angle) + (y - cy) * torch.sin(angle)
            across = (y - cy) * torch.cos(angle) - (x - cx) * torch.sin(angle)
            sizes = torch.exp(dice.unit(2) * 3.0 - 3.2)
            soft = 0.02 + 0.1 * dice.unit(1)
            lamp = torch.sigmoid((sizes[0] - along.abs()) / soft)
            lamp = lamp * torch.sigmoid((sizes[1] - across.abs()) / soft)
            power = torch.exp(1.2 * dice.normals(1) + 0.8)
            room.add_(power * torch.exp(0.12 * dice.normals(3, 1, 1)) * lamp)
    levels = [
        gaussian_blur(rooms, torch.full((count,), texels, device=dice.device), most_px=texels)
        for texels in ROOM_BLURS_TEXELS
    ]
    return torch.stack(levels, dim=1)
