"""One training in one process, or in those that torchrun started, a GPU each."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

import torch
from torch import distributed, nn


@contextmanager
def training_process() -> Iterator[tuple[int, str]]:
    """Join the other processes, where there are any; yields this one's rank and its device."""
    rank = int(os.environ.get("LOCAL_RANK", "0"))
    device = f"cuda:{rank}" if torch.cuda.is_available() else "cpu"
    if int(os.environ.get("WORLD_SIZE", "1")) > 1:
        if device != "cpu":
            torch.cuda.set_device(rank)
        distributed.init_process_group("nccl" if device != "cpu" else "gloo")
    yield rank, device
    if distributed.is_initialized():
        distributed.destroy_process_group()


def shared_by_all(net: nn.Module, progress: float, device: str) -> float:
    """Average gradients and progress over the processes; returns the common progress."""
    if not distributed.is_initialized():
        return progress
    grads = [p.grad.flatten() for p in net.parameters() if p.grad is not None]
    flat = torch.cat([*grads, torch.tensor([progress], device=device)])
    distributed.all_reduce(flat)
    flat /= distributed.get_world_size()
    at = 0
    for parameter in net.parameters():
        if parameter.grad is not None:
            count = parameter.grad.numel()
            parameter.grad.copy_(flat[at : at + count].view_as(parameter.grad))
            at += count
    return float(flat[-1])
