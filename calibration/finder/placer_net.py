"""The toe placer's network: how far a toe lies from a guess, and how doubtful that is.

It squeezes the 57 rows of a strip to one while it keeps every second column, then lets each column
look along the toe, about thirty columns to either side.
"""

from __future__ import annotations

from typing import Final

from torch import Tensor, nn

HALF_ROWS: Final = 28
"""Rows of a strip to either side of the guess."""
COLUMN_STEP: Final = 2
OFFSET_UNIT_PX: Final = 8.0


def _layer(
    inputs: int,
    outputs: int,
    side: int | tuple[int, int],
    *,
    stride: int | tuple[int, int] = 1,
    pad: int | tuple[int, int] = 0,
    reach: int | tuple[int, int] = 1,
) -> nn.Module:
    return nn.Sequential(
        nn.Conv2d(inputs, outputs, side, stride, pad, reach, bias=False),
        nn.BatchNorm2d(outputs),
        nn.ReLU(),
    )


class PlacerNet(nn.Module):
    """Offset and doubt (B, 2, C / 2) of strips (B, 3, 57, C) of B G R code values 0 to 255.

    The first channel counts in `OFFSET_UNIT_PX`, outward positive; the second is the logarithm of
    the mean absolute error to expect, in px. C is even.
    """

    def __init__(self) -> None:
        super().__init__()
        self.body = nn.Sequential(
            _layer(3, 16, (3, 5), stride=(1, 2), pad=(1, 2)),
            _layer(16, 24, 3, stride=(2, 1), pad=1),
            _layer(24, 32, 3, stride=(2, 1), pad=1),
            _layer(32, 48, 3, stride=(2, 1), pad=1),
            _layer(48, 64, 3, stride=(2, 1), pad=1),
            _layer(64, 64, (4, 1)),
        )
        self.along = nn.ModuleList(
            _layer(64, 64, (1, 5), pad=(0, 2 * reach), reach=(1, reach)) for reach in (1, 2, 4)
        )
        self.out = nn.Conv2d(64, 2, 1)

    def forward(self, strip: Tensor) -> Tensor:
        """Return scaled offsets and log doubts."""
        x = self.body((strip - 128) / 64)
        for layer in self.along:
            x = x + layer(x)
        answer: Tensor = self.out(x)
        return answer[:, :, 0]


def offset_and_log_doubt(answer: Tensor) -> tuple[Tensor, Tensor]:
    """Offset in px and logarithm of the doubt in px, (B, C / 2) each."""
    return answer[:, 0] * OFFSET_UNIT_PX, answer[:, 1]
