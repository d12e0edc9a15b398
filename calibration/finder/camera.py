"""From linear light to the picture that a phone would have stored."""

from __future__ import annotations

import math

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from dice import Dice, blend, gaussian_blur
from torch import Tensor

LUMINANCE_Q50 = (
    (16, 11, 10, 16, 24, 40, 51, 61),
    (12, 12, 14, 19, 26, 58, 60, 55),
    (14, 13, 16, 24, 40, 57, 69, 56),
    (14, 17, 22, 29, 51, 87, 80, 62),
    (18, 22, 37, 56, 68, 109, 103, 77),
    (24, 35, 55, 64, 81, 104, 113, 92),
    (49, 64, 78, 87, 103, 121, 120, 101),
    (72, 92, 95, 98, 112, 100, 103, 99),
)  # ITU-T T.81, table K.1


def exposed(dice: Dice, light: Tensor) -> Tensor:
    """Scale light (B, 3, H, W) so that a drawn share of the picture reaches a drawn level."""
    grey = light.mean(dim=1)[:, ::8, ::8].flatten(1).sort(dim=1).values
    share = (0.5 + 0.48 * dice.unit(dice.batch)) * (grey.shape[1] - 1)
    level = grey.gather(1, share.long()[:, None])
    target = dice.log_uniform(0.08, 1.1)[:, :, 0]
    return light * (target / level.clamp_min(1e-5))[:, :, None, None]


def _recorded(dice: Dice, light: Tensor) -> Tensor:
    """Add sensor noise, some of it smeared as demosaicing does."""
    read, shot = dice.log_uniform(0.0005, 0.015)[:, None], dice.log_uniform(0.001, 0.03)[:, None]
    noise = dice.normals(*light.shape) * torch.sqrt(read**2 + shot**2 * light.clamp_min(0))
    smeared = 1.6 * gaussian_blur(noise, dice.uniform(0.4, 1.1), most_px=1.1)
    return light + blend(noise, smeared, dice.uniform(0, 1)[:, None])


def _toned(dice: Dice, light: Tensor) -> Tensor:
    """Apply white balance, saturation, a tone curve and black level: about 0 to 1."""
    light = light * torch.exp(0.05 * dice.normals(dice.batch, 3, 1, 1))
    grey = light.mean(dim=1, keepdim=True)
    colourless = dice.chance(0.07)[:, None]
    light = blend(grey, light, dice.log_uniform(0.5, 1.4)[:, None] * (1 - colourless))
    shoulder = dice.chance(0.5)[:, None] * dice.uniform(0.1, 0.8)[:, None]
    light = light.clamp_min(0)
    light = blend(light.clamp_max(1), 1 - torch.exp(-1.3 * light), shoulder)
    code = light.clamp(1e-5, 1) ** (1 / dice.uniform(1.7, 2.6)[:, None])
    bend = dice.uniform(-0.3, 0.9)[:, None]
    code = code + bend * code * (1 - code) * (2 * code - 1)
    low, high = dice.uniform(-0.04, 0.08)[:, None], dice.uniform(0.85, 1.08)[:, None]
    return low + (high - low) * code


def _dct(device: torch.device) -> Tensor:
    k = torch.arange(8, device=device, dtype=torch.float32)
    basis = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) / 2
    basis[0] /= math.sqrt(2)
    return basis


def _blocky(code: Tensor, coarse: Tensor, table: Tensor) -> Tensor:
    basis = _dct(code.device)
    batch, channels, height, width = code.shape
    tiles = code.reshape(batch, channels, height // 8, 8, width // 8, 8)
    freq = torch.einsum("ai,bchiwj,dj->bchawd", basis, tiles, basis)
    quantum = (table[None, None, None, :, None, :] * coarse.view(-1, 1, 1, 1, 1, 1)).clamp_min(1)
    freq = torch.round(freq / quantum) * quantum
    return torch.einsum("ai,bchawd,dj->bchiwj", basis, freq, basis).reshape(code.shape)


def compressed(dice: Dice, code: Tensor) -> Tensor:
    """Block losses like JPEG's, for pictures (B, 3, H, W) of 0 to 1 whose sides 16 divides."""
    table = torch.tensor(LUMINANCE_Q50, device=code.device, dtype=torch.float32)
    coarse = dice.log_uniform(0.02, 1.2)
    shift = [dice.of_batch.randrange(8) for _ in range(2)]
    red, green, blue = torch.roll(code * 255, shift, dims=(2, 3)).unbind(dim=1)
    luma = 0.299 * red + 0.587 * green + 0.114 * blue
    chroma = torch.stack((0.564 * (blue - luma), 0.713 * (red - luma)), dim=1)
    luma = _blocky(luma[:, None] - 128, coarse, table)[:, 0] + 128
    small = _blocky(F.avg_pool2d(chroma, 2), coarse, 1.5 * table.clamp_min(17))
    blue_less, red_less = F.interpolate(small, scale_factor=2, mode="bilinear").unbind(dim=1)
    red, blue = luma + red_less / 0.713, luma + blue_less / 0.564
    green = (luma - 0.299 * red - 0.114 * blue) / 0.587
    kept = torch.stack((red, green, blue), dim=1) / 255
    return torch.roll(kept, [-shift[0], -shift[1]], dims=(2, 3))


def photograph(dice: Dice, light: Tensor) -> Tensor:
    """Turn linear light (B, 3, h, w), R G B, into stored code values, 0 to 255."""
    size = light.shape[-2:]
    blur = dice.log_uniform(0.25, 2.0)
    light = gaussian_blur(exposed(dice, light), blur, most_px=2.2)
    if dice.of_batch.random() < 0.2:
        small = 1 / (1 + 1.5 * dice.of_batch.random())
        light = F.interpolate(light, scale_factor=small, mode="bilinear", antialias=True)
    code = _toned(dice, _recorded(dice, light))
    if code.shape[-2:] != size:
        code = F.interpolate(code, size=size, mode=dice.of_batch.choice(("bicubic", "bilinear")))
    halo = dice.chance(0.5)[:, None] * dice.uniform(0, 1.4)[:, None]
    code = code + halo * (code - gaussian_blur(code, dice.log_uniform(0.6, 2.5), most_px=2.5))
    code = compressed(dice, code.clamp(0, 1))
    return torch.round(code.clamp(0, 1) * 255)
