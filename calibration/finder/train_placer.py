"""Train the toe placer on straightened welds with known toes; no GPU needed.

    python calibration/finder/train_placer.py --renders MAPS --split MAPS --drawn MAPS
        --minutes 10 --out FOLDER/placer.pt
    python calibration/finder/train_placer.py ... --weights FOLDER/placer.pt --minutes 15

Folders of maps are made by `make_toe_maps.py`. Of those under `--split`, the scenes whose numbers
are held out only judge. Then run `export_placer.py`.
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
from numpy.typing import NDArray
from placer_net import COLUMN_STEP, HALF_ROWS, PlacerNet, offset_and_log_doubt
from render_set import HELD_OUT, scene_number
from schedule import follow, paced_rate
from toe_map import ToeMap, load_map, load_maps
from toe_strips import MOST_ENLARGED, Side, ToeStrip, cut_strip, training_strip
from torch import Tensor

RISE_STEPS: Final = 100
LONGEST_MEMORY: Final = 0.995
SCRATCH_RATE: Final = 2e-3
WARM_RATE: Final = 1e-3
MOST_LOG_DOUBT: Final = 4.0
JUDGE_WIDTH_PX: Final = 80.0
JUDGE_SMOOTHING_PX: Final = 3.0
REPORT_STEPS: Final = 200


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


def as_tensors(strips: Sequence[ToeStrip], device: str) -> tuple[Tensor, Tensor, Tensor]:
    """Pictures (B, 3, 57, C), offsets and known places (B, C) of a batch."""
    pictures = np.stack([strip.picture.transpose(2, 0, 1) for strip in strips])
    offsets = np.stack([strip.offset_px for strip in strips])
    known = np.stack([strip.known for strip in strips])
    pictures_, offsets_, known_ = (
        torch.from_numpy(part.astype(np.float32)).to(device) for part in (pictures, offsets, known)
    )
    return pictures_, offsets_, known_


@torch.no_grad()
def judged_toe(net: PlacerNet, weld: ToeMap, side: Side, device: str) -> NDArray[np.float64] | None:
    """Look twice along one toe from a wavy guess 2 px outside; None where nothing is known.

    Returns
    -------
    NDArray
        In % of the weld's width: mean error (outward positive), mean absolute error, its 95 %
        quantile and mean doubt; last the share of places within three times the doubt.
    """
    zoom = min(JUDGE_WIDTH_PX / weld.width_px, MOST_ENLARGED)
    columns = int(weld.known.size * zoom) - 2
    at = np.arange(columns)
    off = 4 * np.sin(at / 40.0) + 2
    for look in range(2):
        strip = cut_strip(weld, side, off, zoom=zoom, first=0)
        offset, log_doubt = offset_and_log_doubt(net(as_tensors([strip], device)[0]))
        answered = COLUMN_STEP * np.arange(offset.shape[1])
        moved = np.interp(at, answered, offset[0].cpu().numpy())
        doubt = np.exp(np.interp(at, answered, log_doubt[0].cpu().numpy()))
        if look == 0:
            found = (off + moved).astype(np.float32)[None]
            off = cv2.GaussianBlur(found, (0, 0), JUDGE_SMOOTHING_PX)[0].astype(np.float64)
    if not strip.known.any():
        return None
    error, doubt = (off + moved)[strip.known], doubt[strip.known]
    lengths = (error.mean(), np.abs(error).mean(), np.quantile(np.abs(error), 0.95), doubt.mean())
    percent = 100 * np.array(lengths) / (zoom * weld.width_px)
    return np.array([*percent, np.mean(np.abs(error) < 3 * doubt)])


def judged(net: PlacerNet, welds: Sequence[ToeMap], device: str) -> str:
    """Figures over both toes of welds that only judge, each toe counted alike."""
    net.eval()
    sides: tuple[Side, ...] = ("left", "right")
    toes = [judged_toe(net, weld, side, device) for weld in welds for side in sides]
    known = np.array([toe for toe in toes if toe is not None])
    if not known.size:
        return "nothing to judge by"
    bias, mean, tail, doubt, within = known.mean(axis=0)
    return (
        f"of the width: bias {bias:+.2f} % (sd {known[:, 0].std():.2f}), mean error {mean:.2f} %, "
        f"95 % below {tail:.2f} %, doubt {doubt:.2f} %; within 3 doubts {within:.3f}"
    )


def load_sets(asked: argparse.Namespace) -> tuple[list[ToeMap], list[ToeMap]]:
    """Maps of renders that train, and those that judge."""
    paths = [path for folder in asked.split for path in sorted(folder.glob("*.npz"))]
    judging = [path for path in paths if scene_number(path) in set(asked.held_out)]
    training = [load_map(path) for path in paths if path not in judging]
    training += load_maps(asked.renders)
    if not training:
        raise SystemExit("No maps of rendered welds to learn from.")
    return training, [load_map(path) for path in judging]


def train(asked: argparse.Namespace, device: str) -> None:
    """Train for so many minutes and save the averaged weights."""
    renders, held_out = load_sets(asked)
    drawn = load_maps(asked.drawn)
    rng = np.random.default_rng(asked.seed)
    net = PlacerNet()
    if asked.weights:
        net.load_state_dict(torch.load(asked.weights, map_location="cpu"))
    net = net.to(device)
    average = copy.deepcopy(net)
    peak = asked.rate or (WARM_RATE if asked.weights else SCRATCH_RATE)
    optimiser = torch.optim.AdamW(net.parameters(), lr=peak, weight_decay=1e-3)
    print(f"{len(renders)} rendered welds, {len(held_out)} held out, {len(drawn)} drawn welds")
    began, step, losses = time.time(), 0, []
    while (progress := (time.time() - began) / (60 * asked.minutes)) < 1:
        for group in optimiser.param_groups:
            group["lr"] = paced_rate(peak, step=step, rise_steps=RISE_STEPS, progress=progress)
        strips = []
        for _ in range(asked.batch):
            source = renders if rng.random() < asked.render_share or not drawn else drawn
            weld = source[rng.integers(len(source))]
            strips.append(training_strip(weld, rng, most_width_px=asked.most_width))
        losses.append(learn(net, optimiser, *as_tensors(strips, device)))
        step += 1
        follow(average, net, min(LONGEST_MEMORY, 1 - 1 / (step + 1)))
        if step % REPORT_STEPS == 0:
            recent = np.mean(losses[-REPORT_STEPS:])
            print(f"step {step} loss {recent:.3f};", judged(average, held_out, device), flush=True)
    torch.save({name: value.cpu() for name, value in average.state_dict().items()}, asked.out)
    print(f"{step} steps;", judged(average, held_out, device))


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
    parser.add_argument("--renders", type=Path, nargs="*", default=[], help="maps, all to learn")
    parser.add_argument("--split", type=Path, nargs="*", default=[], help="maps, some to judge")
    parser.add_argument("--held-out", type=int, nargs="*", default=HELD_OUT)
    parser.add_argument("--drawn", type=Path, nargs="*", default=[], help="maps of drawn scenes")
    parser.add_argument("--render-share", type=float, default=0.6, help="strips from renders")
    parser.add_argument("--most-width", type=float, default=110.0, help="px of the widest weld")
    parser.add_argument("--weights", type=Path, help="go on from this placer.pt")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--batch", type=int, default=48)
    parser.add_argument("--rate", type=float, help="peak of the learning rate")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--threads", type=int, default=2)
    asked = parser.parse_args()
    cv2.setNumThreads(1)
    torch.set_num_threads(asked.threads)
    train(asked, "cuda" if torch.cuda.is_available() else "cpu")


if __name__ == "__main__":
    main()
