"""Train the height network on comparisons of rendered pairs with known heights.

    python calibration/heights/train.py FOLDER --judge 80320 --minutes 8 --out heights.pt

FOLDER holds what `make_volumes.py` wrote; coupons with seeds from `--judge` on only judge.
"""

from __future__ import annotations

import argparse
import copy
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import torch
from network import LEVELS_MM, PLANES, SIDE_MULTIPLE, HeightNet
from torch import Tensor

NOTHING, METAL, WELD = 0, 1, 2
LEVELS: Final = len(LEVELS_MM)
LOOKS: Final = 2 * LEVELS
TONES: Final = (LOOKS, LOOKS + 1)
PARALLAX: Final = (LOOKS + 5, LOOKS + 6)
"""Planes of both photos' tones, and of what a mm of height moves along and across."""
MOST_SHIFT: Final = 6
"""Levels by which a volume is shifted up or down: the absolute height tells nothing."""
METAL_WEIGHT: Final = 0.35
CROP: Final = 128
EPSILON_MM: Final = 0.004
MOST_LOG: Final = 3.0
CROWN_MM: Final = 0.8


@dataclass(frozen=True, kw_only=True)
class Volume:
    """One pair: planes (P, R, C) float16, true heights (R, C) and what they are of."""

    seed: int
    planes: Tensor
    heights: Tensor
    kinds: Tensor

    def on(self, device: torch.device) -> Volume:
        """The same, on another device."""
        return Volume(
            seed=self.seed,
            planes=self.planes.to(device),
            heights=self.heights.to(device),
            kinds=self.kinds.to(device),
        )


def read(file: Path) -> Volume:
    """Read what `make_volumes.py` wrote, its rows and columns cut to multiples of 8."""
    saved = np.load(file)
    rows, columns = (n - n % SIDE_MULTIPLE for n in saved["kinds"].shape)
    planes = torch.from_numpy(saved["planes"][:, :rows, :columns].copy())
    return Volume(
        seed=int(file.stem.split("-")[0]),
        planes=torch.nan_to_num(planes, 0.0).clamp(-30.0, 30.0),
        heights=torch.from_numpy(saved["heights"][:rows, :columns].copy()),
        kinds=torch.from_numpy(saved["kinds"][:rows, :columns].copy()),
    )


def loss_of(answer: Tensor, heights: Tensor, kinds: Tensor) -> Tensor:
    """Negative log likelihood of Laplace errors with the network's own doubt as their scale."""
    log = answer[:, 1].clamp(-6.0, MOST_LOG)
    error = (answer[:, 0] - heights).abs() + EPSILON_MM
    known = (heights > LEVELS_MM[1]) & (heights < LEVELS_MM[-2])
    weight = ((kinds == WELD) + METAL_WEIGHT * (kinds == METAL)) * known
    lost = error * torch.exp(-log) + log + 0.5 * error
    return (lost * weight).sum() / weight.sum().clamp_min(1.0)


def changed(volume: Volume, dice: np.random.Generator, rows: int) -> tuple[Tensor, Tensor, Tensor]:
    """A crop of `rows` by `CROP`, flipped and shifted in height, with other noise and light."""
    _, height, width = volume.planes.shape
    top = int(dice.integers(0, max(1, height - rows + 1)))
    left = int(dice.integers(0, max(1, width - CROP + 1)))
    part = (slice(top, top + rows), slice(left, left + CROP))
    planes = volume.planes[:, part[0], part[1]].float()
    heights, kinds = volume.heights[part], volume.kinds[part]
    for axis, parallax in ((1, PARALLAX[1]), (2, PARALLAX[0])):
        if dice.random() < 0.5:
            planes, heights, kinds = (
                planes.flip(axis), heights.flip(axis - 1), kinds.flip(axis - 1),
            )  # fmt: skip
            planes[parallax] *= -1.0
    shift = int(dice.integers(-MOST_SHIFT, MOST_SHIFT + 1))
    if shift:
        for grain in (slice(0, LEVELS), slice(LEVELS, LOOKS)):
            rolled = planes[grain].roll(shift, 0)
            if shift > 0:
                rolled[:shift] = 0.0
            else:
                rolled[shift:] = 0.0
            planes[grain] = rolled
        heights = heights + shift * float(LEVELS_MM[1] - LEVELS_MM[0])
    planes[:LOOKS] *= float(dice.uniform(0.8, 1.1))
    if dice.random() < 0.5:
        planes[:LOOKS] += float(dice.uniform(0.0, 0.12)) * torch.randn_like(planes[:LOOKS])
    for tone in TONES:
        planes[tone] = planes[tone] * float(dice.uniform(0.7, 1.4)) + float(dice.normal(0, 0.2))
    if dice.random() < 0.15:
        planes[TONES[0]] = planes[TONES[1]] = 0.0
    padded = torch.zeros(PLANES, rows, CROP, device=planes.device)
    padded[:, : planes.shape[1], : planes.shape[2]] = planes
    true = torch.zeros(rows, CROP, device=planes.device)
    true[: heights.shape[0], : heights.shape[1]] = heights
    what = torch.zeros(rows, CROP, dtype=torch.uint8, device=planes.device)
    what[: kinds.shape[0], : kinds.shape[1]] = kinds
    return padded, true, what


@torch.no_grad()
def judge(net: HeightNet, volumes: list[Volume]) -> str:
    """How far heights, and crowns over the metal beside them, are off on coupons set apart."""
    net.eval()
    errors: dict[str, list[np.ndarray]] = {"weld": [], "metal": [], "crown": []}
    ratios: list[np.ndarray] = []
    for volume in volumes:
        answer = net(volume.planes[None].float())[0].cpu().numpy()
        true, kinds = volume.heights.cpu().numpy(), volume.kinds.cpu().numpy()
        error = answer[0] - true
        known = (true > LEVELS_MM[1]) & (true < LEVELS_MM[-2])
        for name, kind in (("weld", WELD), ("metal", METAL)):
            errors[name].append(error[(kinds == kind) & known])
        on_weld = (kinds == WELD) & known
        ratios.append(np.abs(error[on_weld]) / np.exp(answer[1][on_weld]))
        metal = (kinds == METAL) & known
        if on_weld.sum() < 500 or metal.sum() < 500:
            continue
        level = np.median(error[metal])
        sure = on_weld & (answer[1] < np.log(0.15))
        for column in range(4, true.shape[1] - 4, 8):
            here = np.where(on_weld[:, column], true[:, column], -9.0)
            top = int(here.argmax())
            rows, near = slice(max(0, top - 2), top + 3), slice(column - 2, column + 3)
            if here[top] > 0.3 and sure[rows, near].mean() > 0.6:
                errors["crown"].append(np.array([error[rows, near].mean() - level]))
    net.train()
    words = []
    for name, parts in errors.items():
        off = np.abs(np.concatenate(parts)) if parts else np.zeros(1)
        words.append(
            f"{name} {off.size}: median {np.median(off):.3f}, p95 {np.quantile(off, 0.95):.3f}, "
            f"rms {np.sqrt(np.mean(off**2)):.3f}"
        )
    ratio = np.concatenate(ratios)
    shares = [100.0 * float((ratio < limit).mean()) for limit in (1.0, 2.0, 3.0)]
    return "; ".join(words) + f"; within 1, 2, 3 expected errors {shares}"


def main() -> None:
    """Read comparisons, train, and write the weights."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--judge", type=int, required=True)
    parser.add_argument("--minutes", type=float, default=8.0)
    parser.add_argument("--batch", type=int, default=32)
    parser.add_argument("--rate", type=float, default=2e-3)
    parser.add_argument("--rows", type=int, default=128)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    torch.manual_seed(asked.seed)
    with ThreadPoolExecutor(16) as pool:
        volumes = list(pool.map(read, sorted(asked.folder.glob("*.npz"))))
    device = torch.device(asked.device)
    volumes = [volume.on(device) for volume in volumes]
    learn = [v for v in volumes if v.seed < asked.judge]
    kept = [v for v in volumes if v.seed >= asked.judge]
    print(f"{len(learn)} pairs to learn from, {len(kept)} to judge", flush=True)
    late = trained(learn, kept, asked, device)
    torch.save({"weights": late.cpu().state_dict()}, asked.out)


def trained(
    learn: list[Volume], kept: list[Volume], asked: argparse.Namespace, device: torch.device
) -> HeightNet:
    """Train for some minutes, and return the mean of the late weights."""
    dice = np.random.default_rng(asked.seed)
    net = HeightNet().to(device)
    late = copy.deepcopy(net)
    optimiser = torch.optim.AdamW(net.parameters(), lr=asked.rate, weight_decay=1e-3)
    began, step = time.perf_counter(), 0
    told = 0.0
    while (passed := (time.perf_counter() - began) / (60.0 * asked.minutes)) < 1.0:
        rate = asked.rate * min(1.0, (step + 1) / 100) * 0.5 * (1.0 + np.cos(np.pi * passed))
        for group in optimiser.param_groups:
            group["lr"] = max(rate, 1e-6)
        batch = [
            changed(learn[int(k)], dice, asked.rows)
            for k in dice.integers(0, len(learn), asked.batch)
        ]
        planes, heights, kinds = (torch.stack(part) for part in zip(*batch, strict=True))
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            answer = net(planes)
        loss = loss_of(answer.float(), heights, kinds)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        memory = min(0.998, step / (step + 10.0))
        with torch.no_grad():
            for mine, new in zip(
                late.state_dict().values(), net.state_dict().values(), strict=True
            ):
                if mine.dtype.is_floating_point:
                    mine.lerp_(new, 1.0 - memory)
                else:
                    mine.copy_(new)
        if passed - told > 0.2:
            told = passed
            print(f"{step}: loss {loss.item():.3f}; {judge(late, kept)}", flush=True)
    print(f"{step} steps: {judge(late, kept)}", flush=True)
    return late


if __name__ == "__main__":
    main()
