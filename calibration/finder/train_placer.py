"""Train the toe placer on straightened welds with known toes.

    python calibration/finder/train_placer.py --real FOLDER/real-maps.npz
        --renders FOLDER/render-maps.npz --drawn FOLDER/drawn-maps.npz --minutes 9
        --out FOLDER/placer.pt
    python calibration/finder/train_placer.py ... --weights FOLDER/placer.pt --minutes 9

Files of maps are made by `make_toe_maps.py`; those marked so only judge. Without a GPU give it
`--batch 48`. Then run `export_placer.py`.
"""

from __future__ import annotations

import argparse
import copy
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
import torch
from dice import Dice
from numpy.typing import NDArray
from photo_pool import changed
from placer_net import COLUMN_STEP, HALF_ROWS, PlacerNet, offset_and_log_doubt
from schedule import follow, paced_rate
from scipy.ndimage import gaussian_filter1d
from toe_map import load_maps
from toe_strips import (
    MOST_ENLARGED,
    PooledMap,
    Side,
    ToeStrip,
    cut_strip,
    pooled,
    training_strip,
)
from torch import Tensor

RISE_STEPS: Final = 100
LONGEST_MEMORY: Final = 0.998
SCRATCH_RATE: Final = 2e-3
WARM_RATE: Final = 1e-3
MOST_LOG_DOUBT: Final = 4.0
JUDGE_WIDTH_PX: Final = 80.0
JUDGE_SMOOTHING_PX: Final = 3.0
REPORT_STEPS: Final = 500


def placer_loss(answer: Tensor, offset_px: Tensor, known: Tensor) -> Tensor:
    """Negative log likelihood of Laplace errors with the network's own doubt as their scale.

    Parameters
    ----------
    answer
        (B, 2, C / 2) of the network.
    offset_px, known
        (B, C) truth, and 1 where it is known.
    """
    offset, log_doubt = offset_and_log_doubt(answer)
    log_doubt = log_doubt.clamp(-MOST_LOG_DOUBT, MOST_LOG_DOUBT)
    true = offset_px.clamp(-HALF_ROWS, HALF_ROWS)[:, ::COLUMN_STEP]
    error = (offset - true).abs() + 1e-3
    counted = known[:, ::COLUMN_STEP]
    lost = error * torch.exp(-log_doubt) + log_doubt
    return (lost * counted).sum() / counted.sum().clamp_min(1)


def as_tensors(strips: Sequence[ToeStrip]) -> tuple[Tensor, Tensor, Tensor]:
    """Pictures (B, 3, 57, C), offsets and known places (B, C) of a batch."""
    pictures = torch.stack([strip.picture for strip in strips])
    offsets = np.stack([strip.offset_px for strip in strips]).astype(np.float32)
    known = np.stack([strip.known for strip in strips]).astype(np.float32)
    device = pictures.device
    return pictures, torch.from_numpy(offsets).to(device), torch.from_numpy(known).to(device)


@torch.no_grad()
def judged_toe(net: PlacerNet, weld: PooledMap, side: Side) -> NDArray[np.float64] | None:
    """Look twice along one toe from a wavy guess 2 px outside; None where nothing is known.

    Returns
    -------
    NDArray
        In % of the weld's width: mean error (outward positive), mean absolute error, its 95 %
        quantile and mean doubt; last the share of places within three times the doubt.
    """
    zoom = min(JUDGE_WIDTH_PX / weld.weld.width_px, MOST_ENLARGED)
    columns = int(weld.weld.known.size * zoom) - 2
    at = np.arange(columns)
    off = 4 * np.sin(at / 40.0) + 2
    for look in range(2):
        strip = cut_strip(weld, side, off, zoom=zoom, first=0)
        offset, log_doubt = offset_and_log_doubt(net(as_tensors([strip])[0]))
        answered = COLUMN_STEP * np.arange(offset.shape[1])
        moved = np.interp(at, answered, offset[0].cpu().numpy())
        doubt = np.exp(np.interp(at, answered, log_doubt[0].cpu().numpy()))
        if look == 0:
            off = gaussian_filter1d(off + moved, JUDGE_SMOOTHING_PX)
    if not strip.known.any():
        return None
    error, doubt = (off + moved)[strip.known], doubt[strip.known]
    lengths = (error.mean(), np.abs(error).mean(), np.quantile(np.abs(error), 0.95), doubt.mean())
    percent = 100 * np.array(lengths) / (zoom * weld.weld.width_px)
    return np.array([*percent, np.mean(np.abs(error) < 3 * doubt)])


def judged(net: PlacerNet, welds: Sequence[PooledMap]) -> str:
    """Figures over both toes of welds that only judge, each toe counted alike."""
    net.eval()
    sides: tuple[Side, ...] = ("left", "right")
    toes = [judged_toe(net, weld, side) for weld in welds for side in sides]
    known = np.array([toe for toe in toes if toe is not None])
    if not known.size:
        return "nothing to judge by"
    bias, mean, tail, doubt, within = known.mean(axis=0)
    return (
        f"of the width: bias {bias:+.2f} % (sd {known[:, 0].std():.2f}), mean error {mean:.2f} % "
        f"(median {np.median(known[:, 1]):.2f}), 95 % below {tail:.2f} %, doubt {doubt:.2f} %; "
        f"within 3 doubts {within:.3f}"
    )


def train(asked: argparse.Namespace, device: str) -> None:
    """Train for so many minutes and save the averaged weights."""
    kinds = [
        (share, pooled(load_maps(files, judging=False), device))
        for share, files in ((0.4, asked.real), (0.4, asked.renders), (0.2, asked.drawn))
    ]
    kinds = [(share, maps) for share, maps in kinds if maps]
    if not kinds:
        raise SystemExit("No maps to learn from.")
    shares = np.array([share for share, _ in kinds])
    judges = {
        name: pooled(load_maps(files, judging=True), device)
        for name, files in (("real", asked.real), ("renders", asked.renders))
    }
    rng = np.random.default_rng(asked.seed)
    net = PlacerNet()
    if asked.weights:
        net.load_state_dict(torch.load(asked.weights, map_location="cpu"))
    net = net.to(device)
    average = copy.deepcopy(net)
    peak = asked.rate or (WARM_RATE if asked.weights else SCRATCH_RATE)
    optimiser = torch.optim.AdamW(net.parameters(), lr=peak, weight_decay=1e-3)

    def report(words: str) -> None:
        for name, maps in judges.items():
            words += f" | {name}: {judged(average, maps)}"
        print(words, flush=True)

    report(f"{[len(maps) for _, maps in kinds]} welds to learn from")
    began, step = time.time(), 0
    while (progress := (time.time() - began) / (60 * asked.minutes)) < 1:
        for group in optimiser.param_groups:
            group["lr"] = paced_rate(peak, step=step, rise_steps=RISE_STEPS, progress=progress)
        strips = []
        for kind in rng.choice(len(kinds), size=asked.batch, p=shares / shares.sum()):
            maps = kinds[kind][1]
            weld = maps[rng.integers(len(maps))]
            strips.append(training_strip(weld, rng, most_width_px=asked.most_width))
        pictures, offset_px, known = as_tensors(strips)
        dice = Dice(asked.batch, device=device, seed=asked.seed + 17 * step)
        loss = learn(net, optimiser, changed(dice, pictures, compress=False), offset_px, known)
        step += 1
        follow(average, net, min(LONGEST_MEMORY, 1 - 1 / (step + 1)))
        if step % REPORT_STEPS == 0:
            report(f"{time.time() - began:5.0f} s step {step} loss {loss:.3f}")
    torch.save({name: value.cpu() for name, value in average.state_dict().items()}, asked.out)
    report(f"{step} steps")


def learn(
    net: PlacerNet,
    optimiser: torch.optim.Optimizer,
    pictures: Tensor,
    offset_px: Tensor,
    known: Tensor,
) -> float:
    """Take one step; returns its loss."""
    net.train()
    loss = placer_loss(net(pictures), offset_px, known)
    optimiser.zero_grad()
    loss.backward()
    torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
    optimiser.step()
    return loss.item()


def main() -> None:
    """Read the command line and train."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for kind in ("real", "renders", "drawn"):
        parser.add_argument(f"--{kind}", type=Path, nargs="*", default=[], help=f"{kind} maps")
    parser.add_argument("--most-width", type=float, default=165.0, help="px of the widest weld")
    parser.add_argument("--weights", type=Path, help="go on from this placer.pt")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--batch", type=int, default=192)
    parser.add_argument("--rate", type=float, help="peak of the learning rate")
    parser.add_argument("--seed", type=int, default=5)
    asked = parser.parse_args()
    train(asked, "cuda" if torch.cuda.is_available() else "cpu")


if __name__ == "__main__":
    main()
