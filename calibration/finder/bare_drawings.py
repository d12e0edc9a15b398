"""Draw pictures that hold no weld but much that runs in long lines: the finder must see none.

    python calibration/finder/bare_drawings.py --out FOLDER --count 120 --seed 7

Wood grain, brick walls, rules with their ticks, tubes and cables, pages of text, soft blobs.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

SIZE: Final = (768, 1024)
Picture = NDArray[np.float32]
"""(H, W, 3) codes B G R, not yet cut to 0 to 255."""


def _clouds(rng: np.random.Generator, across_px: float, down_px: float) -> Picture:
    """Smooth noise of unit spread, (H, W)."""
    noise = rng.normal(size=SIZE).astype(np.float32)
    smooth = cv2.GaussianBlur(noise, (0, 0), sigmaX=across_px, sigmaY=down_px)
    return np.asarray((smooth - smooth.mean()) / smooth.std(), np.float32)


def _colour(rng: np.random.Generator, low: float = 20.0, high: float = 230.0) -> Picture:
    tone = rng.uniform(low, high)
    return np.asarray(tone + rng.normal(0, 18, 3), np.float32)


def _inked(picture: Picture, ink: NDArray[np.uint8], colour: Picture) -> Picture:
    share = ink[..., None].astype(np.float32) / 255
    return np.asarray(picture + share * (colour - picture), np.float32)


def wood(rng: np.random.Generator) -> Picture:
    """Grain: rings cut lengthwise, with pores and a knot now and then."""
    rows, columns = np.mgrid[: SIZE[0], : SIZE[1]].astype(np.float32)
    bend = 25 * _clouds(rng, 180, 40)
    knot = np.hypot((columns - rng.uniform(0, SIZE[1])) / 5, rows - rng.uniform(0, SIZE[0]))
    bend += rng.choice([0, 1]) * 80 * np.exp(-knot / rng.uniform(20, 60))
    rings = np.sin((rows + bend) * 2 * np.pi / rng.uniform(8, 60))
    pores = _clouds(rng, 40, 0.8)
    tone = np.array([0.45, 0.7, 1.0]) * rng.uniform(90, 210)
    return np.asarray(tone * (1 + 0.12 * rings + 0.06 * pores)[..., None], np.float32)


def bricks(rng: np.random.Generator) -> Picture:
    """Courses of bricks with mortar between them."""
    picture = np.full((*SIZE, 3), _colour(rng, 120, 200), np.float32)
    height = int(rng.uniform(40, 140))
    width, joint = int(height * rng.uniform(2, 3.2)), max(3, int(height * rng.uniform(0.08, 0.2)))
    clay = np.array([0.5, 0.6, 1.0]) * rng.uniform(90, 190)
    for course, top in enumerate(range(-height, SIZE[0], height + joint)):
        for left in range(-width - course % 2 * width // 2, SIZE[1], width + joint):
            tone = clay * rng.uniform(0.75, 1.2)
            cv2.rectangle(picture, (left, top), (left + width, top + height), tone.tolist(), -1)
    return np.asarray(picture + (14 * _clouds(rng, 1.5, 1.5))[..., None], np.float32)


def rule(rng: np.random.Generator) -> Picture:
    """A rule with ticks and numbers on a table."""
    picture = np.full((*SIZE, 3), _colour(rng), np.float32)
    picture += (8 * _clouds(rng, 6, 6))[..., None]
    top, height = int(rng.uniform(150, 450)), int(rng.uniform(60, 180))
    body, ink = _colour(rng), _colour(rng)
    cv2.rectangle(picture, (-5, top), (SIZE[1] + 5, top + height), body.tolist(), -1)
    pitch = rng.uniform(4, 14)
    numbers = np.zeros(SIZE, np.uint8)
    for tick in range(int(SIZE[1] / pitch)):
        length = height * (0.55 if tick % 10 == 0 else 0.4 if tick % 5 == 0 else 0.25)
        x = int(tick * pitch)
        cv2.line(picture, (x, top), (x, int(top + length)), ink.tolist(), max(1, int(pitch / 5)))
        if tick % 10 == 0:
            at = (x + 3, int(top + 0.9 * height))
            cv2.putText(numbers, str(tick // 10), at, 0, height / 110, 255, 2)
    return _inked(picture, numbers, ink)


def tubes(rng: np.random.Generator) -> Picture:
    """Smooth shaded bars: tubes, cables, rails."""
    picture = np.full((*SIZE, 3), _colour(rng), np.float32)
    picture += (10 * _clouds(rng, 60, 60))[..., None]
    for _ in range(rng.integers(1, 5)):
        tone, y, radius = _colour(rng), rng.uniform(80, 690), rng.uniform(8, 70)
        steps = np.linspace(-1, 1, int(2 * radius))
        shade = (
            0.35
            + 0.65 * np.sqrt(1 - steps**2)
            + rng.uniform(0, 0.8) * np.exp(-((steps + 0.3) ** 2) / 0.02)
        )
        for step, light in zip(steps, shade, strict=True):
            row = round(y + radius * step)
            if 0 <= row < SIZE[0]:
                picture[row] = tone * light
    return picture


def page(rng: np.random.Generator) -> Picture:
    """Lines of print."""
    picture = np.full((*SIZE, 3), _colour(rng, 150, 250), np.float32)
    pitch = int(rng.uniform(22, 70))
    letters = np.array(list("abcdefghijklmnopqrstuvwxyz      "))
    printed = np.zeros(SIZE, np.uint8)
    for y in range(pitch, SIZE[0], pitch):
        words = "".join(rng.choice(letters, 90))
        cv2.putText(printed, words, (20, y), 0, pitch / 55, 255, 1 + pitch // 30)
    return _inked(picture, printed, _colour(rng, 10, 60))


def blobs(rng: np.random.Generator) -> Picture:
    """Soft shapes of all sizes, as of faces and clothes out of focus."""
    picture = np.full((*SIZE, 3), _colour(rng), np.float32)
    for _ in range(rng.integers(4, 16)):
        centre = (int(rng.uniform(0, SIZE[1])), int(rng.uniform(0, SIZE[0])))
        axes = (int(rng.uniform(20, 260)), int(rng.uniform(20, 260)))
        cv2.ellipse(picture, centre, axes, rng.uniform(0, 180), 0, 360, _colour(rng).tolist(), -1)
    blurred = cv2.GaussianBlur(picture, (0, 0), rng.uniform(1, 30))
    return np.asarray(blurred + (6 * _clouds(rng, 1, 1))[..., None], np.float32)


KINDS: Final[tuple[Callable[[np.random.Generator], Picture], ...]] = (
    wood,
    bricks,
    rule,
    tubes,
    page,
    blobs,
)


def main() -> None:
    """Read the command line and draw."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--count", type=int, default=120)
    parser.add_argument("--seed", type=int, default=7)
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng(asked.seed)
    for number in range(asked.count):
        kind = KINDS[number % len(KINDS)]
        picture = kind(rng)
        picture = picture + rng.normal(0, rng.uniform(1, 6), picture.shape)
        codes = np.clip(picture * rng.uniform(0.5, 1.15), 0, 255).astype(np.uint8)
        cv2.imwrite(str(asked.out / f"{kind.__name__}-{number:03d}.jpg"), codes)


if __name__ == "__main__":
    main()
