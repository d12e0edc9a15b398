"""How fast a network learns as its time runs out, and the running average of its weights."""

from __future__ import annotations

import math

import torch
from torch import nn


def paced_rate(peak: float, *, step: int, rise_steps: int, progress: float) -> float:
    """Learning rate: a rise over some steps, then a half cosine down to a hundredth of the peak.

    Parameters
    ----------
    progress
        Share of the time that is spent, 0 to 1.
    """
    rise = min(1.0, step / rise_steps + 0.01)
    return peak * rise * (0.5 * (1.0 + math.cos(math.pi * progress)) + 0.01)


@torch.no_grad()
def follow(average: nn.Module, net: nn.Module, keep: float) -> None:
    """Move averaged weights, and the norms' statistics, towards the present ones by 1 - `keep`."""
    means = [value for value in average.state_dict().values() if value.is_floating_point()]
    present = [value for value in net.state_dict().values() if value.is_floating_point()]
    torch._foreach_lerp_(means, present, 1 - keep)  # one launch for all of them
