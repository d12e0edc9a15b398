"""The height network: how alike two photos are at every height -> heights of cells, and doubt.

A small U-shaped net over cells; the heights compared are its channels. It answers with a share for
each height, whose mean is the height, and with the logarithm of the mean error that it expects.
"""

from __future__ import annotations

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from torch import Tensor, nn

LEVELS_MM = np.linspace(-1.6, 5.6, 61)
"""As `beadcheck.profiles.pair.comparison`."""
PLANES = 130
SIDE_MULTIPLE = 8
WIDTHS = (40, 56, 72, 96)


def _layer(inputs: int, outputs: int, *, stride: int = 1, reach: int = 1) -> nn.Module:
    side = 2 if stride == 2 else 3
    pad = 0 if stride == 2 else reach
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
        self.smooth = _Residual(fine)

    def forward(self, coarse: Tensor, fine: Tensor) -> Tensor:
        raised = F.interpolate(
            self.coarse(coarse), scale_factor=2.0, mode="bilinear", align_corners=False
        )
        return self.smooth(raised + fine)


class HeightNet(nn.Module):
    """(B, 2, R, C) height in mm and logarithm of its expected error, of (B, 130, R, C) planes."""

    def __init__(self) -> None:
        super().__init__()
        whole, half, quarter, eighth = WIDTHS
        self.stem = nn.Sequential(
            nn.Conv2d(PLANES, whole, 1, bias=False), nn.BatchNorm2d(whole), nn.ReLU(inplace=True)
        )
        self.at_whole = _Residual(whole)
        self.to_half = _layer(whole, half, stride=2)
        self.at_half = nn.Sequential(_Residual(half), _Residual(half))
        self.to_quarter = _layer(half, quarter, stride=2)
        self.at_quarter = nn.Sequential(_Residual(quarter), _Residual(quarter, reach=2))
        self.to_eighth = _layer(quarter, eighth, stride=2)
        self.at_eighth = nn.Sequential(
            _Residual(eighth), _Residual(eighth, reach=2), _Residual(eighth, reach=4)
        )
        self.join_quarter = _Join(eighth, quarter)
        self.join_half = _Join(quarter, half)
        self.join_whole = _Join(half, whole)
        self.last = nn.Conv2d(whole, len(LEVELS_MM) + 1, 1)
        levels = torch.tensor(LEVELS_MM, dtype=torch.float32)
        self.register_buffer("levels", levels[None, :, None, None])

    def forward(self, planes: Tensor) -> Tensor:
        """Rows and columns are multiples of 8."""
        whole = self.at_whole(self.stem(planes))
        half = self.at_half(self.to_half(whole))
        quarter = self.at_quarter(self.to_quarter(half))
        eighth = self.at_eighth(self.to_eighth(quarter))
        quarter = self.join_quarter(eighth, quarter)
        half = self.join_half(quarter, half)
        answer = self.last(self.join_whole(half, whole))
        shares = torch.softmax(answer[:, :-1], dim=1)
        mean = (shares * self.levels).sum(dim=1, keepdim=True)
        return torch.cat([mean, answer[:, -1:].to(mean.dtype)], dim=1)
