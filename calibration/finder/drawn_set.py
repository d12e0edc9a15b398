"""Draw scenes once and keep them in a file, for training that has no GPU to draw as it goes.

    python calibration/finder/drawn_set.py --out FOLDER/drawn-11.npz --seed 11

The file holds `codes` (N, 3, side, side) uint8, B G R, and `weld` (N, side, side) uint8, the share
of each pixel that is weld face in 255ths. A batch takes about 5 s on one CPU core.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnScene:
    """One drawn picture: (3, side, side) codes and the (side, side) share of weld, both uint8."""

    codes: NDArray[np.uint8]
    weld: NDArray[np.uint8]


def load_drawn(files: Sequence[Path]) -> list[DrawnScene]:
    """Load the pictures of several files."""
    scenes: list[DrawnScene] = []
    for file in files:
        with np.load(file) as kept:
            both = zip(kept["codes"], kept["weld"], strict=True)
            scenes.extend(DrawnScene(codes=codes, weld=weld) for codes, weld in both)
    return scenes


def draw_set(asked: argparse.Namespace) -> None:
    """Draw so many batches, photograph each several times, and write them all."""
    # Only this needs torch: whoever straightens drawn scenes reads the file without it.
    import torch  # noqa: PLC0415
    from dice import Dice  # noqa: PLC0415
    from scenes import draw_scenes, make_textures, photographed  # noqa: PLC0415

    dice = Dice(asked.batch, device=asked.device, seed=asked.seed)
    textures = make_textures(dice)
    codes, weld = [], []
    for _ in range(asked.batches):
        light, shares = draw_scenes(dice, textures, asked.side, strip_share=asked.strip_share)
        for _ in range(asked.photographs):
            pictures, three = photographed(dice, light, shares)
            codes.append(pictures.round().clamp(0, 255).to(torch.uint8).cpu().numpy())
            weld.append((three[:, 0] * 255).round().to(torch.uint8).cpu().numpy())
    np.savez_compressed(asked.out, codes=np.concatenate(codes), weld=np.concatenate(weld))


def main() -> None:
    """Read the command line and draw."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--batches", type=int, default=80)
    parser.add_argument("--batch", type=int, default=4, help="scenes a batch")
    parser.add_argument("--photographs", type=int, default=2, help="pictures a scene")
    parser.add_argument("--side", type=int, default=384, help="side of a scene in px")
    parser.add_argument("--strip-share", type=float, default=0.42, help="scenes like strips")
    parser.add_argument("--device", default="cpu")
    draw_set(parser.parse_args())


if __name__ == "__main__":
    main()
