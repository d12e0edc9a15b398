"""Train the bead finder on pictures drawn as it goes.

    python calibration/finder/train.py --out FOLDER --minutes 30
    torchrun --nproc-per-node=2 calibration/finder/train.py --out FOLDER --minutes 8

On a desktop GPU give it an hour or two, without a GPU a night (`--minutes 600 --batch 4 --drawn
4`). Writes `finder.pt` (averaged weights and temperature), `samples.pt` (drawn pictures) and
`log0.txt`. Then run `export.py`.
"""

from __future__ import annotations

import argparse
import copy
import math
import time
from pathlib import Path

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from dice import Dice
from network import FinderNet
from plates import Textures
from pool import ScenePool
from processes import shared_by_all, training_process
from scenes import make_textures
from schedule import follow
from torch import Tensor

TOE_WEIGHT = 4.0  # extra weight of pixels within a few px of a toe, where the measurement happens
HELD_OUT_SEED = 990_001


def finder_loss(logits: Tensor, shares: Tensor) -> Tensor:
    """Soft cross-entropy, heavier along toes, plus the overlap of the weld face."""
    weld = shares[:, :1]
    near = F.max_pool2d(weld, 9, stride=1, padding=4) - (
        -F.max_pool2d(-weld, 9, stride=1, padding=4)
    )
    weight = 1 + TOE_WEIGHT * near.clamp(0, 1)
    entropy = -(shares * F.log_softmax(logits.float(), dim=1)).sum(dim=1, keepdim=True)
    likely = torch.softmax(logits.float(), dim=1)[:, :1]
    both = (likely * weld).sum(dim=(1, 2, 3))
    overlap = (2 * both + 200) / ((likely + weld).sum(dim=(1, 2, 3)) + 200)
    return (weight * entropy).sum() / weight.sum() + 0.3 * (1 - overlap).mean()


@torch.no_grad()
def find_temperature(net: FinderNet, batches: list[tuple[Tensor, Tensor]]) -> float:
    """Temperature that makes held-out cross-entropy least, searched over a fine grid."""
    temperatures = torch.linspace(0.6, 2.0, 57)
    losses = torch.zeros(len(temperatures))
    for codes, shares in batches:
        logits = net(codes).float()
        for number, temperature in enumerate(temperatures.tolist()):
            entropy = -(shares * F.log_softmax(logits / temperature, dim=1)).sum(dim=1)
            losses[number] += entropy.mean().item()
    return float(temperatures[int(losses.argmin())])


@torch.no_grad()
def held_out_figures(net: FinderNet, batches: list[tuple[Tensor, Tensor]]) -> str:
    """Overlap of the weld face, false weld where there is none, and the outline's offset in px."""
    overlap, false_weld, offsets = [], [], []
    for codes, shares in batches:
        likely = torch.softmax(net(codes).float(), dim=1)[:, 0]
        truth = shares[:, 0]
        for guess, right in zip(likely, truth, strict=True):
            if float(right.sum()) < 50:
                false_weld.append(float((guess > 0.5).float().mean()))
                continue
            both = ((guess > 0.5) & (right > 0.5)).sum()
            either = ((guess > 0.5) | (right > 0.5)).sum()
            overlap.append(float(both / either))
            near = (
                F.max_pool2d(right[None], 13, 1, 6)[0] + F.max_pool2d(-right[None], 13, 1, 6)[0] > 0
            )
            rim = (right - right.round()).abs().sum().clamp_min(1)
            length = 2 * rim  # a straight edge's soft pixels hold a quarter each on average
            offsets.append(float(((guess.clamp(0, 1) - right) * near).sum() / (2 * length)))
    bias = torch.tensor(offsets)
    good = torch.tensor(overlap)
    return (
        f"overlap median {good.median():.3f} mean {good.mean():.3f} | false weld "
        f"{100 * sum(false_weld) / max(1, len(false_weld)):.2f} % | outline bias median "
        f"{bias.median():+.3f} px"
    )


def save_samples(codes: Tensor, shares: Tensor, path: Path) -> None:
    """Save drawn pictures and their weld shares as bytes, to look at."""
    both = torch.cat((codes, 255 * shares[:, :1]), dim=1).round().to(torch.uint8)
    torch.save(both.cpu(), path)


def held_out_photographs(
    asked: argparse.Namespace, textures: Textures, device: str
) -> list[tuple[Tensor, Tensor]]:
    """Draw and photograph the scenes that calibrate and judge, from a seed that trains nothing."""
    dice = Dice(asked.drawn, device=device, seed=HELD_OUT_SEED)
    count = max(1, asked.held_out // asked.drawn)
    pool = ScenePool(
        count * asked.drawn, side=asked.side, strip_share=asked.strip_share, device=device
    )
    for _ in range(count):
        pool.renew(dice, textures)
    return [pool.photographs(dice) for _ in range(count)]


def learning_rate(peak: float, progress: float) -> float:
    """Rise over the first twentieth of the time, then fall along a cosine."""
    return peak * min(1, 0.02 + progress / 0.05) * (0.5 + 0.5 * math.cos(math.pi * progress))


def learn(
    net: FinderNet, optimiser: torch.optim.Optimizer, codes: Tensor, shares: Tensor
) -> Tensor:
    """Put one batch's gradients on the weights; returns its loss."""
    kind = codes.device.type
    with torch.autocast(kind, dtype=torch.bfloat16, enabled=kind == "cuda"):
        logits = net(codes.to(memory_format=torch.channels_last))
    loss = finder_loss(logits, shares)
    optimiser.zero_grad(set_to_none=True)
    loss.backward()
    return loss.detach()


def train(asked: argparse.Namespace, *, rank: int, device: str) -> None:
    """Train for so many minutes and save the averaged weights."""
    torch.manual_seed(asked.seed)
    seed = asked.seed + 1_000_003 * rank
    textures = make_textures(Dice(1, device=device, seed=seed))
    net = FinderNet().to(device, memory_format=torch.channels_last)
    if asked.weights:
        net.load_state_dict(torch.load(asked.weights, map_location=device)["weights"])
    average = copy.deepcopy(net).eval()
    net.train(not asked.still)
    optimiser = torch.optim.AdamW(net.parameters(), lr=asked.rate, weight_decay=2e-4)
    held_out = held_out_photographs(asked, textures, device) if rank == 0 else []
    pool = ScenePool(asked.pool, side=asked.side, strip_share=asked.strip_share, device=device)
    log = (asked.out / f"log{rank}.txt").open("w")
    began, step, progress = time.time(), 0, 0.0
    while progress < 1:
        for fresh in range((step + 1) % 2 if step else max(1, asked.pool // (6 * asked.drawn))):
            dice = Dice(asked.drawn, device=device, seed=seed + 31 * step + fresh)
            pool.renew(dice, textures)
        codes, shares = pool.photographs(Dice(asked.batch, device=device, seed=seed + 17 * step))
        for group in optimiser.param_groups:
            group["lr"] = max(learning_rate(asked.rate, progress), 1e-6)
        loss = learn(net, optimiser, codes, shares)
        progress = shared_by_all(net, (time.time() - began) / (60 * asked.minutes), device)
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        follow(average, net, min(0.9985, (step + 1) / (step + 20)))
        if step % asked.report == 0:
            line = f"{time.time() - began:6.0f} s step {step} loss {loss.item():.4f}"
            if step % (5 * asked.report) == 0 and rank == 0:
                line += " | " + held_out_figures(average, held_out)
            print(line, file=log, flush=True)
        step += 1
    if rank == 0:
        temperature = find_temperature(average, held_out)
        figures = held_out_figures(average, held_out)
        print(f"{step} steps; temperature {temperature:.3f}; {figures}", file=log, flush=True)
        weights = {name: value.float().cpu() for name, value in average.state_dict().items()}
        torch.save({"weights": weights, "temperature": temperature}, asked.out / "finder.pt")
        save_samples(*held_out[0], asked.out / "samples.pt")


def main() -> None:
    """Read the command line and train, in one process or in those that torchrun started."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=8.0)
    parser.add_argument("--batch", type=int, default=32, help="pictures a step and a process")
    parser.add_argument("--drawn", type=int, default=16, help="scenes drawn every second step")
    parser.add_argument("--pool", type=int, default=3000, help="scenes kept on the device")
    parser.add_argument("--side", type=int, default=384, help="side of a scene in px")
    parser.add_argument("--strip-share", type=float, default=0.42, help="scenes like strips")
    parser.add_argument("--held-out", type=int, default=160, help="scenes that only judge")
    parser.add_argument("--rate", type=float, default=3e-3, help="peak of the learning rate")
    parser.add_argument("--seed", type=int, default=20251)
    parser.add_argument("--report", type=int, default=200, help="steps between lines of the log")
    parser.add_argument("--weights", type=Path, help="go on from this finder.pt")
    parser.add_argument("--still", action="store_true", help="keep the norms' statistics")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    with training_process() as (rank, device):
        train(asked, rank=rank, device=device)


if __name__ == "__main__":
    main()
