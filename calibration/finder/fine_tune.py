"""Train the bead finder further on rendered photos mixed with drawn scenes; no GPU needed.

    python calibration/finder/fine_tune.py --weights FOLDER/finder.pt --renders SET --split SET
        --drawn FOLDER/drawn-11.npz FOLDER/drawn-12.npz --out FOLDER/finder-tuned.pt

Sets are made by `python -m samples.making set`, drawn scenes by `drawn_set.py`. Of the sets under
`--split`, the scenes whose numbers are held out only judge. Then run `export.py`.
"""

from __future__ import annotations

import argparse
import copy
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import cv2
import numpy as np
import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from crops import Crop, render_crop, training_crop
from drawn_set import load_drawn
from network import FinderNet
from render_set import HELD_OUT, Render, load_render, split_photos
from schedule import follow, paced_rate
from torch import Tensor

TOE_WEIGHT: Final = 4.0
OVERLAP_SLACK_PX: Final = 200.0
RISE_STEPS: Final = 60
LONGEST_MEMORY: Final = 0.99
JUDGE_SEED: Final = 77
JUDGE_CROPS: Final = 4
REPORT_STEPS: Final = 100


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


def as_tensors(crops: Sequence[Crop], device: str) -> tuple[Tensor, Tensor, Tensor]:
    """Pictures (B, 3, S, S), weld and known (B, 1, S, S) of a batch."""
    pictures = np.stack([crop.picture.transpose(2, 0, 1) for crop in crops]).astype(np.float32)
    weld = np.stack([crop.weld for crop in crops])[:, None]
    known = np.stack([crop.known for crop in crops])[:, None]
    pictures_, weld_, known_ = (
        torch.from_numpy(part).to(device) for part in (pictures, weld, known)
    )
    return pictures_.contiguous(memory_format=torch.channels_last), weld_, known_


@torch.no_grad()
def judged(net: FinderNet, crops: Sequence[Crop], device: str) -> str:
    """Cross-entropy, overlap of the weld face and error of its area, over crops that only judge."""
    net.eval()
    entropies, overlaps, areas = [], [], []
    for crop in crops:
        picture, _, _ = as_tensors([crop], device)
        likely = torch.sigmoid(weld_logit(net(picture)))[0, 0].cpu().numpy() * crop.known
        weld = crop.weld * crop.known
        entropy = weld * np.log(likely + 1e-5) + (1 - weld) * np.log(1 - likely + 1e-5)
        entropies.append(-np.mean(entropy))
        if weld.sum() > 50:
            overlaps.append(np.minimum(likely, weld).sum() / np.maximum(likely, weld).sum())
            areas.append((likely.sum() - weld.sum()) / weld.sum())
    if not overlaps:
        return f"cross-entropy {np.mean(entropies):.3f}"
    return (
        f"cross-entropy {np.mean(entropies):.3f} | overlap mean {np.mean(overlaps):.3f} "
        f"median {np.median(overlaps):.3f} least {np.min(overlaps):.2f} | "
        f"area median {np.median(areas):+.3f}"
    )


def fine_tune(asked: argparse.Namespace, device: str) -> None:
    """Train for so many minutes and save the averaged weights."""
    renders, judging = load_sets(asked)
    drawn = load_drawn(asked.drawn)
    judge_rng = np.random.default_rng(JUDGE_SEED)
    held_out = [render_crop(render, judge_rng) for render in judging for _ in range(JUDGE_CROPS)]
    net = FinderNet()
    net.load_state_dict(torch.load(asked.weights, map_location="cpu")["weights"])
    net = net.to(device, memory_format=torch.channels_last)
    average = copy.deepcopy(net)
    optimiser = torch.optim.AdamW(net.parameters(), lr=asked.rate, weight_decay=1e-3)
    rng = np.random.default_rng(asked.seed)
    print(f"{len(renders)} renders, {len(judging)} held out, {len(drawn)} drawn pictures")
    print("before:", judged(average, held_out, device), flush=True)
    began, step, losses = time.time(), 0, []
    while (progress := (time.time() - began) / (60 * asked.minutes)) < 1:
        for group in optimiser.param_groups:
            group["lr"] = paced_rate(
                asked.rate, step=step, rise_steps=RISE_STEPS, progress=progress
            )
        crops = [training_crop(renders, drawn, rng) for _ in range(asked.batch)]
        losses.append(learn(net, optimiser, *as_tensors(crops, device)))
        step += 1
        follow(average, net, min(LONGEST_MEMORY, 1 - 1 / (step + 1)))
        if step % REPORT_STEPS == 0:
            recent = np.mean(losses[-REPORT_STEPS:])
            print(f"step {step} loss {recent:.3f}", judged(average, held_out, device), flush=True)
            save(average, asked.out)
    save(average, asked.out)
    print(f"{step} steps:", judged(average, held_out, device))


def learn(
    net: FinderNet, optimiser: torch.optim.Optimizer, pictures: Tensor, weld: Tensor, known: Tensor
) -> float:
    """Take one step; returns its loss."""
    net.train()
    with torch.autocast(pictures.device.type, dtype=torch.bfloat16):
        logits = net(pictures)
    loss = weld_loss(logits, weld, known)
    optimiser.zero_grad()
    loss.backward()
    torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
    optimiser.step()
    return loss.item()


def load_sets(asked: argparse.Namespace) -> tuple[list[Render], list[Render]]:
    """Renders that train, and those that judge."""
    training, judging = [], []
    for folder in asked.renders:
        training += split_photos(folder, ())[0]
    for folder in asked.split:
        learnt, kept = split_photos(folder, asked.held_out)
        training += learnt
        judging += kept
    if not training:
        raise SystemExit("No photo with a truth file beside it to learn from.")
    return [load_render(photo) for photo in training], [load_render(photo) for photo in judging]


def save(net: FinderNet, path: Path) -> None:
    """Save weights as `export.py` reads them; their likelihoods are taken as they are."""
    weights = {name: value.cpu() for name, value in net.state_dict().items()}
    torch.save({"weights": weights, "temperature": 1.0}, path)


def main() -> None:
    """Read the command line and train."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", type=Path, required=True, help="start from this finder.pt")
    parser.add_argument("--renders", type=Path, nargs="*", default=[], help="sets, all to learn")
    parser.add_argument("--split", type=Path, nargs="*", default=[], help="sets, some to judge")
    parser.add_argument("--held-out", type=int, nargs="*", default=HELD_OUT)
    parser.add_argument("--drawn", type=Path, nargs="*", default=[], help="files of drawn_set.py")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=20.0)
    parser.add_argument("--batch", type=int, default=8)
    parser.add_argument("--rate", type=float, default=8e-4, help="peak of the learning rate")
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--threads", type=int, default=2)
    asked = parser.parse_args()
    cv2.setNumThreads(1)
    torch.set_num_threads(asked.threads)
    fine_tune(asked, "cuda" if torch.cuda.is_available() else "cpu")


if __name__ == "__main__":
    main()
