"""Crops of packed photos on the device: turned, mirrored, scaled, and changed photometrically."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from camera import compressed
from dice import Dice, blend, gaussian_blur
from PIL import Image
from torch import Tensor

LEVELS: Final = 4
STRIP_SHARE: Final = 0.4
"""Crops in which the weld lies level, as in the strips that the tracer asks about."""
STRIP_WIDTHS_PX: Final = (26.0, 62.0)
WIDTHS_PX: Final = (7.0, 70.0)
MOST_ENLARGED: Final = 2.2
ELSEWHERE_SHARE: Final = 0.15
"""Crops laid anywhere in a photo, its weld in view or not."""
NO_WELD_WIDTH_PX: Final = 50.0
"""Stands in for the weld's width where a photo has none, so that it is scaled alike."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PoolPhoto:
    """A photo on the device.

    Attributes
    ----------
    levels
        (5, H, W) of codes B G R, weld and known in 255ths, and copies of half the size each.
    body
        x, y, direction and width at places of its welds.
    """

    name: str
    levels: tuple[Tensor, ...]
    body: tuple[tuple[float, float, float, float], ...]


def load_photos(files: Sequence[Path], device: str, *, judging: bool) -> list[PoolPhoto]:
    """Load those photos of packed files that judge, or that train."""
    photos = []
    for file in files:
        with np.load(file) as kept:
            for number, name in enumerate(kept["names"]):
                if bool(kept["judging"][number]) is not judging:
                    continue
                rgb = np.asarray(Image.open(io.BytesIO(kept[f"jpeg{number}"].tobytes())))
                planes = [*rgb.transpose(2, 0, 1)[::-1], kept[f"weld{number}"]]
                level = torch.from_numpy(np.stack([*planes, kept[f"known{number}"]])).to(device)
                level = level.half() if device != "cpu" else level.float()
                levels = [level]
                for _ in range(LEVELS):
                    level = F.avg_pool2d(level[None], 2, ceil_mode=True)[0]
                    levels.append(level)
                body = tuple(tuple(map(float, place)) for place in kept[f"body{number}"])
                photos.append(PoolPhoto(name=str(name), levels=tuple(levels), body=body))
    return photos


def photo_crops(
    photos: Sequence[PoolPhoto], side: int, chance: random.Random
) -> tuple[Tensor, Tensor, Tensor]:
    """Cut one crop of each photo: codes (B, 3, S, S), weld and known (B, 1, S, S)."""
    crops = torch.stack([_crop(photo, side, chance) for photo in photos])
    return crops[:, :3], crops[:, 3:4] / 255, crops[:, 4:] / 255


def _crop(photo: PoolPhoto, side: int, chance: random.Random) -> Tensor:
    """(5, side, side): a turned, mirrored and scaled piece; what lies outside is not known."""
    height, width = photo.levels[0].shape[1:]
    level_weld = bool(photo.body) and chance.random() < STRIP_SHARE
    if photo.body:
        x, y, along, weld_px = photo.body[chance.randrange(len(photo.body))]
    else:
        along, weld_px = 0.0, NO_WELD_WIDTH_PX
    if not photo.body or (not level_weld and chance.random() < ELSEWHERE_SHARE):
        x, y = chance.random() * width, chance.random() * height
    low, high = STRIP_WIDTHS_PX if level_weld else WIDTHS_PX
    wanted_px = math.exp(chance.uniform(math.log(low), math.log(high)))
    scale = min(wanted_px / weld_px, MOST_ENLARGED)
    turn = along + chance.gauss(0, 0.08) if level_weld else chance.uniform(0, 2 * math.pi)
    turn += math.pi * chance.randrange(2)
    mirror = chance.choice((-1, 1))
    reach = (0.7, 0.25) if level_weld else (0.8, 0.8)
    stretch = math.exp(chance.gauss(0, 0.08))
    device = photo.levels[0].device
    at = torch.arange(side, device=device, dtype=torch.float32) - (side - 1) / 2
    right = ((at + chance.uniform(-0.5, 0.5) * reach[0] * side) / (scale * stretch))[None]
    down = (mirror * (at + chance.uniform(-0.5, 0.5) * reach[1] * side) / scale)[:, None]
    columns = x + math.cos(turn) * right - math.sin(turn) * down
    rows = y + math.sin(turn) * right + math.cos(turn) * down
    number = min(LEVELS, max(0, round(-math.log2(min(scale, 1.0)) - 0.2)))
    level = photo.levels[number]
    sides = torch.tensor(level.shape[:0:-1], device=device)
    grid = (torch.stack((columns, rows), dim=-1) + 0.5) / 2**number * 2 / sides - 1
    piece = F.grid_sample(
        level[None].float(), grid[None], padding_mode="border", align_corners=False
    )[0]
    inside = (columns >= -0.5) & (columns <= width - 0.5) & (rows >= -0.5) & (rows <= height - 0.5)
    piece[4] *= inside
    return piece


def changed(dice: Dice, codes: Tensor, *, compress: bool = True) -> Tensor:
    """Change pictures (B, 3, H, W) of codes as other cameras and lights would have them.

    Only pictures whose sides 16 divides can be compressed.
    """
    blur = dice.log_uniform(0.3, 1.8) * dice.chance(0.4)
    code = gaussian_blur(codes, blur.clamp_min(0.05), most_px=1.8) / 255
    code = code.clamp(1e-4, 1) ** torch.exp(dice.normal(0.3))[:, None]
    code = (code - 0.43) * torch.exp(dice.normal(0.22))[:, None] + 0.43 + dice.normal(0.07)[:, None]
    code = code * torch.exp(0.08 * dice.normals(dice.batch, 3, 1, 1))
    grey = code.mean(dim=1, keepdim=True)
    colourless = dice.chance(0.12)[:, None]
    code = blend(grey, code, dice.uniform(0.2, 1.8)[:, None] * (1 - colourless))
    down, right = (torch.linspace(-1, 1, side, device=code.device) for side in code.shape[-2:])
    slope = dice.normal(0.08) * down[:, None] + dice.normal(0.08) * right[None]
    code = code + (slope * dice.chance(0.4))[:, None]
    code = code + dice.log_uniform(0.001, 0.035)[:, None] * dice.normals(*code.shape)
    if compress:
        some = dice.chance(0.4)[:, None]
        code = blend(code, compressed(dice, code.clamp(0, 1)), some)
    return torch.round(code.clamp(0, 1) * 255)
