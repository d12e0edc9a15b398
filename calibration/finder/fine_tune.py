"""Train the bead finder further on photos, real and rendered, mixed with drawn scenes.

    python calibration/finder/fine_tune.py --weights FOLDER/finder.pt --real FOLDER/real.npz
        --renders FOLDER/renders.npz --bare FOLDER/bare.npz --minutes 9 --out FOLDER/finder-tuned.pt
    torchrun --nproc-per-node=2 calibration/finder/fine_tune.py ...

Packed photos are made by `photo_set.py`; scenes are drawn as it goes. Without a GPU give it an hour
or more and `--batch 6 --drawn 2 --photographs 2`. Then run `export.py`.
"""

from __future__ import annotations

import argparse
import copy
import random
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from dice import Dice
from network import FinderNet
from photo_pool import PoolPhoto, changed, load_photos, photo_crops
from pool import ScenePool
from processes import shared_by_all, training_process
from scenes import make_textures
from schedule import follow, paced_rate
from torch import Tensor
from train import finder_loss

TOE_WEIGHT: Final = 4.0
OVERLAP_SLACK_PX: Final = 200.0
RISE_STEPS: Final = 100
LONGEST_MEMORY: Final = 0.998
JUDGE_SEED: Final = 77
JUDGE_SIDE_PX: Final = 256
JUDGE_CROPS: Final = 4
REPORT_STEPS: Final = 500
DRAWN_LOSS: Final = 0.35
"""Weight of the drawn scenes' loss against that of the photos."""
RENEW_STEPS: Final = 4


def weld_logit(logits: Tensor) -> Tensor:
    """Logit of weld face against both other classes together, (B, 1, H, W)."""
    logits = logits.float()
    return logits[:, :1] - torch.logsumexp(logits[:, 1:], dim=1, keepdim=True)


def weld_loss(logits: Tensor, weld: Tensor, known: Tensor) -> Tensor:
    """Cross-entropy of the weld face, heavier along toes, plus its overlap; known places only."""
    logit = weld_logit(logits)
    near = F.max_pool2d(weld, 9, 1, 4) + F.max_pool2d(-weld, 9, 1, 4)
    weight = known * (1 + TOE_WEIGHT * near.clamp(0, 1))
    entropy = F.binary_cross_entropy_with_logits(logit, weld, reduction="none")
    likely, right = torch.sigmoid(logit) * known, weld * known
    both = 2 * (likely * right).sum(dim=(1, 2, 3)) + OVERLAP_SLACK_PX
    overlap = both / ((likely + right).sum(dim=(1, 2, 3)) + OVERLAP_SLACK_PX)
    return (entropy * weight).sum() / weight.sum().clamp_min(1) + 0.3 * (1 - overlap).mean()


@torch.no_grad()
def judged(net: FinderNet, photos: Sequence[PoolPhoto]) -> str:
    """Overlap of the 0.5 outline and error of the area over crops that only judge, in words."""
    if not photos:
        return "nothing to judge by"
    net.eval()
    chance = random.Random(JUDGE_SEED)  # noqa: S311 - the same crops every time; no secret
    overlaps, areas, false_weld = [], [], []
    for photo in photos:
        codes, weld, known = photo_crops([photo] * JUDGE_CROPS, JUDGE_SIDE_PX, chance)
        likely = torch.sigmoid(weld_logit(net(codes.to(memory_format=torch.channels_last))))
        for guess, true, seen in zip(likely, weld, known, strict=True):
            cut, right = (guess > 0.5) & (seen > 0.5), (true > 0.5) & (seen > 0.5)
            if right.sum() > 100:
                overlaps.append(((cut & right).sum() / (cut | right).sum()).item())
                areas.append(((guess - true) * seen).sum().item() / true.sum().item())
            else:
                false_weld.append(cut.float().mean().item())
    return (
        f"overlap mean {np.mean(overlaps):.3f} median {np.median(overlaps):.3f}, below 0.5 in "
        f"{np.mean(np.array(overlaps) < 0.5):.2f}; area {np.median(areas):+.3f}; "
        f"false weld {np.mean(false_weld or [0.0]):.4f}"
    )


def mixed(
    kinds: Sequence[tuple[float, list[PoolPhoto]]], count: int, chance: random.Random
) -> list[PoolPhoto]:
    """Draw photos, of each kind its share."""
    held = [(share, photos) for share, photos in kinds if photos]
    picked = chance.choices([photos for _, photos in held], [share for share, _ in held], k=count)
    return [photos[chance.randrange(len(photos))] for photos in picked]


def fine_tune(asked: argparse.Namespace, *, rank: int, device: str) -> None:
    """Train for so many minutes and save the averaged weights."""
    seed = asked.seed + 1_000_003 * rank
    chance = random.Random(seed)  # noqa: S311 - draws training crops; no secret
    kinds = [
        (share, load_photos(files, device, judging=False))
        for share, files in zip(asked.shares, (asked.real, asked.renders, asked.bare), strict=True)
    ]
    judges = {
        name: load_photos(files, device, judging=True) if rank == 0 else []
        for name, files in (("real", asked.real), ("renders", asked.renders))
    }
    textures = make_textures(Dice(1, device=device, seed=seed))
    pool = ScenePool(asked.pool, side=384, strip_share=0.42, device=device)
    net = FinderNet()
    net.load_state_dict(torch.load(asked.weights, map_location="cpu")["weights"])
    net = net.to(device, memory_format=torch.channels_last)
    average = copy.deepcopy(net).eval()
    optimiser = torch.optim.AdamW(net.parameters(), lr=asked.rate, weight_decay=2e-3)

    def report(words: str) -> None:
        if rank == 0:
            for name, photos in judges.items():
                words += f" | {name}: {judged(average, photos)}"
            print(words, flush=True)

    report(f"{[len(photos) for _, photos in kinds]} photos to learn from")
    began, step, progress = time.time(), 0, 0.0
    while progress < 1:
        if step % RENEW_STEPS == 0:
            for fresh in range(1 if step else max(1, asked.pool // (8 * asked.drawn))):
                pool.renew(
                    Dice(asked.drawn, device=device, seed=seed + 31 * step + fresh), textures
                )
        for group in optimiser.param_groups:
            group["lr"] = paced_rate(
                asked.rate, step=step, rise_steps=RISE_STEPS, progress=progress
            )
        dice = Dice(asked.batch, device=device, seed=seed + 17 * step)
        codes, weld, known = photo_crops(mixed(kinds, asked.batch, chance), asked.side, chance)
        drawn = pool.photographs(Dice(asked.photographs, device=device, seed=seed + 17 * step + 5))
        loss = learn(net, optimiser, (changed(dice, codes), weld, known), drawn)
        progress = shared_by_all(net, (time.time() - began) / (60 * asked.minutes), device)
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimiser.step()
        step += 1
        follow(average, net, min(LONGEST_MEMORY, 1 - 1 / (step + 1)))
        if step % REPORT_STEPS == 0:
            report(f"{time.time() - began:5.0f} s step {step} loss {loss.item():.3f}")
    report(f"{step} steps")
    if rank == 0:
        weights = {name: value.float().cpu() for name, value in average.state_dict().items()}
        torch.save({"weights": weights, "temperature": 1.0}, asked.out)


def learn(
    net: FinderNet,
    optimiser: torch.optim.Optimizer,
    photos: tuple[Tensor, Tensor, Tensor],
    drawn: tuple[Tensor, Tensor],
) -> Tensor:
    """Put one batch's gradients on the weights; returns its loss."""
    net.train()
    codes, weld, known = photos
    optimiser.zero_grad(set_to_none=True)
    kind = codes.device.type
    with torch.autocast(kind, dtype=torch.bfloat16):
        logits = net(codes.to(memory_format=torch.channels_last))
        drawn_logits = net(drawn[0].to(memory_format=torch.channels_last))
    loss = weld_loss(logits, weld, known) + DRAWN_LOSS * finder_loss(drawn_logits, drawn[1])
    loss.backward()
    return loss.detach()


def main() -> None:
    """Read the command line and train, in one process or in those that torchrun started."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", type=Path, required=True, help="finder.pt to go on from")
    parser.add_argument("--real", type=Path, nargs="*", default=[], help="packed real photos")
    parser.add_argument("--renders", type=Path, nargs="*", default=[], help="packed renders")
    parser.add_argument("--bare", type=Path, nargs="*", default=[], help="packed, without welds")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=9.0)
    parser.add_argument("--batch", type=int, default=40, help="photo crops a step and a process")
    parser.add_argument("--side", type=int, default=256, help="side of a photo crop in px")
    parser.add_argument(
        "--shares",
        type=float,
        nargs=3,
        default=(0.55, 0.33, 0.12),
        help="photo crops from real photos, renders and pictures without welds",
    )
    parser.add_argument("--drawn", type=int, default=12, help="scenes drawn every fourth step")
    parser.add_argument("--photographs", type=int, default=16, help="drawn pictures a step")
    parser.add_argument("--pool", type=int, default=1500, help="drawn scenes kept on the device")
    parser.add_argument("--rate", type=float, default=1.5e-3, help="peak of the learning rate")
    parser.add_argument("--seed", type=int, default=301)
    asked = parser.parse_args()
    asked.out.parent.mkdir(parents=True, exist_ok=True)
    torch.manual_seed(asked.seed)
    with training_process() as (rank, device):
        fine_tune(asked, rank=rank, device=device)


if __name__ == "__main__":
    main()
