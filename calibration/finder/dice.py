"""Random numbers and random fields for the bead finder's training pictures.

Everything is batched: a drawn number has the shape (B, 1, 1), so that it spreads over B pictures.
"""

from __future__ import annotations

import math
import random

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from torch import Tensor

BANK_SIDE = 512
BANK_COUNT = 48


class Dice:
    """A seeded source of per-picture random numbers for a batch of B pictures."""

    def __init__(self, batch: int, *, device: str, seed: int) -> None:
        self.batch = batch
        self.device = device
        self.generator = torch.Generator(device=device).manual_seed(seed)
        self.of_batch = random.Random(seed)  # noqa: S311 - draws that shape a whole batch; no secret

    def unit(self, *shape: int) -> Tensor:
        """Uniform numbers in [0, 1) of any shape."""
        return torch.rand(shape, generator=self.generator, device=self.device)

    def normals(self, *shape: int) -> Tensor:
        """Standard normal numbers of any shape."""
        return torch.randn(shape, generator=self.generator, device=self.device)

    def uniform(self, low: float, high: float, channels: int = 1) -> Tensor:
        """Draw uniform numbers, (B, channels, 1, 1), or (B, 1, 1) for one channel."""
        drawn = low + (high - low) * self.unit(self.batch, channels, 1, 1)
        return drawn[:, 0] if channels == 1 else drawn

    def log_uniform(self, low: float, high: float) -> Tensor:
        """Draw log-uniform numbers, (B, 1, 1)."""
        return torch.exp(self.uniform(math.log(low), math.log(high)))

    def normal(self, sd: float = 1.0) -> Tensor:
        """Draw normal numbers, (B, 1, 1)."""
        return sd * self.normals(self.batch, 1, 1)

    def chance(self, probability: float) -> Tensor:
        """Draw 1.0 with the given probability, else 0.0: (B, 1, 1)."""
        return (self.unit(self.batch, 1, 1) < probability).float()

    def chance_in_some(self, probability: float) -> Tensor | None:
        """Draw like `chance`, gathered into few batches: None where no picture draws 1.0."""
        if self.of_batch.random() > 2 * probability:
            return None
        return self.chance(0.5)

    def sign(self) -> Tensor:
        """Draw -1 or +1: (B, 1, 1)."""
        return 2 * self.chance(0.5) - 1

    def pick(self, count: int) -> Tensor:
        """Draw an index below count for each picture: (B,)."""
        return torch.randint(count, (self.batch,), generator=self.generator, device=self.device)

    def line_noise(self, samples: int, step_px: float, low_px: Tensor, high_px: Tensor) -> Tensor:
        """Smooth noise along a line, unit spread, wavelengths between two bounds: (B, samples)."""
        spectrum = torch.fft.rfft(self.normals(self.batch, samples))
        frequency = torch.fft.rfftfreq(samples, step_px, device=self.device)[None]
        keep = torch.sigmoid((1 / low_px.view(-1, 1) / frequency.clamp_min(1e-9)).log() * 6)
        keep = keep * torch.sigmoid((frequency * high_px.view(-1, 1)).clamp_min(1e-9).log() * 6)
        noise = torch.fft.irfft(spectrum * keep / frequency.clamp_min(1e-4).sqrt(), n=samples)
        return noise / noise.std(dim=1, keepdim=True).clamp_min(1e-6)


def white_bank(dice: Dice) -> Tensor:
    """Independent normal texels: (N, 1, side, side)."""
    return dice.normals(BANK_COUNT, 1, BANK_SIDE, BANK_SIDE)


def cloud_bank(dice: Dice) -> Tensor:
    """Clouds of a power-law spectrum, unit spread, of several roughnesses: (N, 1, side, side)."""
    spectrum = torch.fft.rfft2(dice.normals(BANK_COUNT, BANK_SIDE, BANK_SIDE))
    down = torch.fft.fftfreq(BANK_SIDE, device=dice.device)[:, None]
    across = torch.fft.rfftfreq(BANK_SIDE, device=dice.device)[None]
    radius = torch.sqrt(down**2 + across**2).clamp_min(1 / BANK_SIDE)
    exponent = 0.7 + 1.0 * dice.unit(BANK_COUNT, 1, 1)
    clouds = torch.fft.irfft2(spectrum / radius**exponent, s=(BANK_SIDE, BANK_SIDE))
    clouds = clouds - clouds.mean(dim=(1, 2), keepdim=True)
    return (clouds / clouds.std(dim=(1, 2), keepdim=True))[:, None]


def look_up(texture: Tensor, across: Tensor, down: Tensor) -> Tensor:
    """Textures (B, C, h, w) read at texel positions (B, H, W), mirrored past their edges."""
    height, width = texture.shape[-2:]
    grid = torch.stack((across * (2 / width) - 1, down * (2 / height) - 1), dim=-1)
    return F.grid_sample(
        texture, grid, mode="bilinear", padding_mode="reflection", align_corners=False
    )


def smooth_step(low: Tensor | float, high: Tensor | float, value: Tensor) -> Tensor:
    """0 below low, 1 above high, smooth between."""
    t = ((value - low) / (high - low)).clamp(0, 1)
    return t * t * (3 - 2 * t)


def blend(under: Tensor, over: Tensor, alpha: Tensor) -> Tensor:
    """Lay over on under where alpha is 1."""
    return torch.lerp(under, over, alpha)


def gaussian_blur(picture: Tensor, sigma_px: Tensor, *, most_px: float) -> Tensor:
    """Blur (B, C, H, W) with one Gaussian width a picture, none above `most_px`."""
    batch, channels = picture.shape[:2]
    sigma = sigma_px.reshape(batch, 1)
    radius = max(1, math.ceil(3 * most_px))
    reach = torch.arange(-radius, radius + 1, device=picture.device)[None]
    kernel = torch.exp(-0.5 * (reach / sigma.clamp_min(0.05)) ** 2)
    kernel = (kernel / kernel.sum(dim=1, keepdim=True)).repeat_interleave(channels, dim=0)
    flat = picture.reshape(1, batch * channels, *picture.shape[-2:])
    flat = F.pad(flat, (radius,) * 4, mode="reflect")
    flat = F.conv2d(flat, kernel[:, None, None, :], groups=batch * channels)
    flat = F.conv2d(flat, kernel[:, None, :, None], groups=batch * channels)
    return flat.reshape(picture.shape)
