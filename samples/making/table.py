"""What the coupon lies on."""

from typing import Final

import cv2
import numpy as np

from samples.making.noise import Floats, Image, cloud, field, step

TABLES: Final = ("wood", "steel", "concrete", "paint", "blanket", "cardboard")
SIDE_MM: Final = 700.0
TEXEL_MM: Final = 0.35


def table_colour(kind: str, rng: np.random.Generator) -> Image:
    """Linear reflectance (N, N, 3) of a table top SIDE_MM wide."""
    size = int(SIDE_MM / TEXEL_MM)
    shape = (size, size)
    grain = 1 / TEXEL_MM
    makers = {
        "wood": _wood,
        "steel": _steel,
        "concrete": _concrete,
        "paint": _paint,
        "blanket": _blanket,
        "cardboard": _cardboard,
    }
    top = makers[kind](rng, shape, grain)
    stains = step(cloud(rng, shape, cell=60 * grain), at=1.5, soft=0.8)
    top *= (1 - 0.45 * stains)[..., None]
    specks = step(field(rng, shape, cell=(3, 3)), at=3.6, soft=0.4)
    top *= (1 - 0.7 * specks)[..., None]
    turn = cv2.getRotationMatrix2D((size / 2, size / 2), rng.uniform(0, 360), 1.0)
    turned = cv2.warpAffine(top.astype(np.float32), turn, shape, borderMode=cv2.BORDER_REFLECT)
    return np.clip(turned, 0, 0.95)


def _wood(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    rings = cloud(rng, shape, cell=40 * grain, octaves=2)
    long = field(rng, shape, cell=(5 * grain, 200 * grain))
    fine = field(rng, shape, cell=(1.0, 40 * grain))
    tone = np.sin(5 * long + 0.6 * rings) * 0.16 + 0.10 * fine + 0.1 * rings
    base = np.array([0.33, 0.20, 0.11]) * rng.uniform(0.5, 1.1)
    top = base * np.clip(1 + tone, 0.3, 1.8)[..., None]
    gap = int(rng.uniform(90, 160) * grain)
    offset = int(rng.integers(0, gap))
    for row in range(offset, shape[0], gap):
        top[row : row + int(1.2 * grain)] *= 0.12
        top[row:] *= rng.uniform(0.85, 1.15)
    return top.astype(np.float32)


def _steel(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    base = np.array([0.16, 0.155, 0.15]) * rng.uniform(0.6, 1.3)
    tone = 1 + 0.25 * cloud(rng, shape, cell=80 * grain, octaves=5)
    for _ in range(2):
        tone += 0.08 * field(rng, shape, cell=(1.5, 60 * grain))
    top = base * np.clip(tone, 0.2, 2)[..., None]
    rusty = step(cloud(rng, shape, cell=50 * grain, octaves=5), at=rng.uniform(0.8, 2.2), soft=0.6)
    rust = np.array([0.16, 0.075, 0.035]) * (1 + 0.3 * field(rng, shape, cell=(4, 4)))[..., None]
    top += rusty[..., None] * (rust - top)
    burns = step(field(rng, shape, cell=(7 * grain, 7 * grain)), at=2.2, soft=0.3)
    return (top * (1 - 0.75 * burns)[..., None]).astype(np.float32)


def _concrete(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    tone = 1 + 0.12 * cloud(rng, shape, cell=70 * grain, octaves=6)
    tone += 0.07 * field(rng, shape, cell=(2, 2))
    holes = step(cloud(rng, shape, cell=6 * grain, octaves=3), at=2.3, soft=0.2)
    base = np.array([0.34, 0.33, 0.31]) * rng.uniform(0.6, 1.1)
    return (base * np.clip(tone * (1 - 0.6 * holes), 0.1, 2)[..., None]).astype(np.float32)


def _paint(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    choices = np.array(
        [[0.05, 0.12, 0.09], [0.07, 0.10, 0.19], [0.20, 0.05, 0.04], [0.24, 0.25, 0.25]]
    )
    base = choices[rng.integers(len(choices))]
    top = base * (1 + 0.06 * cloud(rng, shape, cell=40 * grain))[..., None]
    worn = step(cloud(rng, shape, cell=18 * grain, octaves=6), at=rng.uniform(1.5, 2.3), soft=0.15)
    return (top + worn[..., None] * (np.array([0.22, 0.2, 0.19]) - top)).astype(np.float32)


def _blanket(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    y, x = np.mgrid[: shape[0], : shape[1]].astype(np.float32)
    weave = np.sin(x * 2 * np.pi / (1.6 * grain)) * np.sin(y * 2 * np.pi / (1.6 * grain))
    folds = cloud(rng, shape, cell=90 * grain, octaves=2)
    tone = 1 + 0.22 * weave + 0.18 * folds + 0.06 * field(rng, shape, cell=(2, 2))
    base = np.array([0.42, 0.34, 0.20]) if rng.random() < 0.5 else np.array([0.16, 0.16, 0.15])
    return (base * np.clip(tone, 0.1, 2)[..., None]).astype(np.float32)


def _cardboard(rng: np.random.Generator, shape: tuple[int, int], grain: float) -> Image:
    flutes = np.sin(np.arange(shape[0]) * 2 * np.pi / (7 * grain))[:, None]
    tone = (
        1
        + 0.04 * flutes
        + 0.05 * cloud(rng, shape, cell=50 * grain)
        + 0.03 * field(rng, shape, cell=(2, 2))
    )
    base: Floats = np.array([0.42, 0.29, 0.17]) * rng.uniform(0.8, 1.1)
    return (base * np.clip(tone, 0.2, 2)[..., None]).astype(np.float32)
