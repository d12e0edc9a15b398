"""A pool of drawn scenes on the device, each photographed several times before it goes."""

from __future__ import annotations

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from dice import Dice
from plates import Textures
from scenes import draw_scenes, photographed
from torch import Tensor

RESIZED_BY_PX = (-96, -64, -32, 0, 0, 32, 64)
CUT_SHARE = 0.3


class ScenePool:
    """Linear-light scenes with their shares, drawn afresh in turn."""

    def __init__(self, capacity: int, *, side: int, strip_share: float, device: str) -> None:
        self.side, self.strip_share = side, strip_share
        self.light = torch.zeros(capacity, 3, side, side, dtype=torch.float16, device=device)
        self.shares = torch.zeros(capacity, 2, side, side, dtype=torch.uint8, device=device)
        self.filled = 0
        self._next = 0

    def renew(self, dice: Dice, textures: Textures) -> None:
        """Draw one batch of scenes over the oldest ones."""
        light, shares = draw_scenes(dice, textures, self.side, strip_share=self.strip_share)
        for scene, share in zip(light, shares, strict=True):
            self.light[self._next] = scene.half()
            self.shares[self._next] = (share * 255).round().to(torch.uint8)
            self._next = (self._next + 1) % len(self.light)
            self.filled = min(self.filled + 1, len(self.light))

    def photographs(self, dice: Dice) -> tuple[Tensor, Tensor]:
        """Photograph a batch of the pool's scenes, turned, mirrored, resized and cut."""
        choice = (dice.unit(dice.batch) * self.filled).long()
        light, shares = self.light[choice].float(), self.shares[choice].float() / 255
        both = torch.cat((light, shares), dim=1)
        side = self.side + dice.of_batch.choice(RESIZED_BY_PX)
        if side != self.side:
            both = F.interpolate(both, size=(side, side), mode="bilinear", antialias=True)
        quarters = dice.of_batch.choice((0, 0, 2, 1, 3))
        both = torch.rot90(both, quarters, dims=(2, 3))
        if dice.of_batch.random() < 0.5:
            both = both.flip(3)
        if dice.of_batch.random() < CUT_SHARE:
            tall = side * 5 // 8 // 32 * 32
            top = dice.of_batch.randrange(side - tall + 1)
            both = both[:, :, top : top + tall]
        codes, three = photographed(dice, both[:, :3], both[:, 3:])
        good = torch.isfinite(codes).all(dim=3).all(dim=2).all(dim=1)[:, None, None, None]
        return torch.where(good, codes, 0.0), torch.where(good, three, 1 / 3)
