"""The bead finder's network: a small U-shaped net that works at half the picture's resolution.

A 4 by 4 stride-2 stem keeps the position of edges in its channels, and the last layer gives four
sub-pixels for each half-resolution point, so the outline comes out at the picture's own pixels.
"""

from __future__ import annotations

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from torch import Tensor, nn

CLASSES = 3  # weld face, base metal, other
SIDE_MULTIPLE = 32
WIDTHS = (32, 48, 64, 80, 104)  # channels at 1/2, 1/4, 1/8, 1/16, 1/32 of the picture


def _layer(
    inputs: int, outputs: int, *, side: int = 3, stride: int = 1, reach: int = 1
) -> nn.Module:
    pad = reach * (side - 1) // 2 if stride == 1 else (side - 2) // 2 + side % 2
    return nn.Sequential(
        nn.Conv2d(inputs, outputs, side, stride=stride, padding=pad, dilation=reach, bias=False),
        nn.BatchNorm2d(outputs),
        nn.ReLU(inplace=True),
    )


class _Residual(nn.Module):
    """Two convolutions beside a plain path."""

    def __init__(self, width: int, reach: int = 1) -> None:
        super().__init__()
        self.first = _layer(width, width, reach=reach)
        self.second = nn.Sequential(
            nn.Conv2d(width, width, 3, padding=1, bias=False), nn.BatchNorm2d(width)
        )

    def forward(self, x: Tensor) -> Tensor:
        return F.relu(x + self.second(self.first(x)))


class _Join(nn.Module):
    """Bring a coarser level up and join it with the finer one."""

    def __init__(self, coarse: int, fine: int) -> None:
        super().__init__()
        self.coarse = nn.Conv2d(coarse, fine, 1, bias=False)
        self.smooth = _layer(fine, fine)

    def forward(self, coarse: Tensor, fine: Tensor) -> Tensor:
        raised = F.interpolate(
            self.coarse(coarse), scale_factor=2.0, mode="bilinear", align_corners=False
        )
        return self.smooth(raised + fine)


class FinderNet(nn.Module):
    """Logits (B, 3, H, W) of weld face, base metal and other for B G R code values 0 to 255."""

    def __init__(self) -> None:
        super().__init__()
        half, quarter, eighth, sixteenth, deepest = WIDTHS
        self.stem = _layer(3, half, side=4, stride=2)
        self.at_half = _Residual(half)
        self.to_quarter = _layer(half, quarter, stride=2)
        self.at_quarter = nn.Sequential(_Residual(quarter), _Residual(quarter))
        self.to_eighth = _layer(quarter, eighth, stride=2)
        self.at_eighth = nn.Sequential(_Residual(eighth), _Residual(eighth))
        self.to_sixteenth = _layer(eighth, sixteenth, stride=2)
        self.at_sixteenth = nn.Sequential(_Residual(sixteenth), _Residual(sixteenth, reach=2))
        self.to_deepest = _layer(sixteenth, deepest, side=2, stride=2)
        self.at_deepest = nn.Sequential(_layer(deepest, deepest), _layer(deepest, deepest, reach=2))
        self.join_sixteenth = _Join(deepest, sixteenth)
        self.join_eighth = _Join(sixteenth, eighth)
        self.join_quarter = _Join(eighth, quarter)
        self.join_half = _Join(quarter, half)
        self.last = nn.Sequential(_Residual(half), nn.Conv2d(half, 4 * CLASSES, 1))

    def forward(self, codes: Tensor) -> Tensor:
        """Return logits at the picture's own resolution; both sides are multiples of 32."""
        half = self.at_half(self.stem((codes - 110.0) / 64.0))
        quarter = self.at_quarter(self.to_quarter(half))
        eighth = self.at_eighth(self.to_eighth(quarter))
        sixteenth = self.at_sixteenth(self.to_sixteenth(eighth))
        deepest = self.at_deepest(self.to_deepest(sixteenth))
        sixteenth = self.join_sixteenth(deepest, sixteenth)
        eighth = self.join_eighth(sixteenth, eighth)
        quarter = self.join_quarter(eighth, quarter)
        half = self.join_half(quarter, half)
        return F.pixel_shuffle(self.last(half), 2)


class FinderGraph(nn.Module):
    """What is exported: probabilities, softened by the temperature found on held-out pictures."""

    def __init__(self, net: FinderNet, temperature: float) -> None:
        super().__init__()
        self.net = net
        self.temperature = temperature

    def forward(self, codes: Tensor) -> Tensor:
        """Return shares (B, 3, H, W) that sum to one."""
        return torch.softmax(self.net(codes) / self.temperature, dim=1)
