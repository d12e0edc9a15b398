"""Sets of rendered photos and their true toes, as `python -m samples.making set` writes them.

A set is a folder of `NNN.jpg`, each with `NNN.json` beside it; NNN is the scene's number.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import cv2
import numpy as np
from numpy.typing import NDArray

HELD_OUT: Final = (3, 10, 14, 17, 21, 25, 30, 33, 37)
"""Numbers of the scenes that judged the shipped networks and trained neither."""
PYRAMID_LEVELS: Final = 3
FULL_WIDTH_SHARE: Final = 0.6
"""Where a weld is narrower than this share of its median width, it is an end of the bead."""
ZONE_WIDTHS: Final = 2.2
"""On pipe only the band this many widths to either side of the weld's middle is labelled: what
else of the pipe a photo shows is too slanted to say."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TrueToes:
    """Both true toe lines in the upright photo.

    Attributes
    ----------
    low_px, high_px
        (N, 2) x, y of N places in order along the weld.
    s_mm
        (N,) the truth's own place along the weld.
    on_pipe
        Whether the coupon is a pipe.
    """

    low_px: NDArray[np.float64]
    high_px: NDArray[np.float64]
    s_mm: NDArray[np.float64]
    on_pipe: bool

    @property
    def width_px(self) -> float:
        """Median width of the weld."""
        return float(np.median(np.hypot(*(self.high_px - self.low_px).T)))

    @property
    def body_px(self) -> NDArray[np.float64]:
        """(M, 2) middles of the weld where it has its full width."""
        widths = np.hypot(*(self.high_px - self.low_px).T)
        middle = 0.5 * (self.low_px + self.high_px)
        return np.asarray(middle[widths > FULL_WIDTH_SHARE * self.width_px])

    @property
    def outline_px(self) -> NDArray[np.float64]:
        """(2 N, 2) corners of the weld face."""
        return np.concatenate([self.low_px, self.high_px[::-1]])

    @property
    def zone_px(self) -> NDArray[np.float64]:
        """(2 N, 2) corners of the band of `ZONE_WIDTHS` around the weld's middle."""
        middle, across = 0.5 * (self.low_px + self.high_px), self.high_px - self.low_px
        low, high = middle - ZONE_WIDTHS * across, middle + ZONE_WIDTHS * across
        return np.concatenate([low, high[::-1]])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Render:
    """One rendered photo.

    Attributes
    ----------
    levels
        The photo, B G R, and its copies of half, a quarter and an eighth of the size. Pixel p of
        level n lies at pixel 2^n p of the photo.
    toes
        None where the photo shows no weld.
    """

    name: str
    levels: tuple[NDArray[np.uint8], ...]
    toes: TrueToes | None


def read_toes(truth: dict[str, Any], *, only_in_view: bool) -> TrueToes | None:
    """Toes of a truth file's content, or None where it has no weld.

    Parameters
    ----------
    only_in_view
        Leave out what lies outside the photo. On pipe it is always left out.
    """
    if not truth["weld"]:
        return None
    toes = truth["weld"]["toes"]
    low, high = (np.array(toes[side], dtype=np.float64) for side in ("lo_px", "hi_px"))
    on_pipe = truth["surface"]["kind"] == "pipe"
    kept = np.isfinite(low + high).all(axis=1)
    if on_pipe or only_in_view:
        kept &= np.array(toes["in_view"], dtype=bool).reshape(len(low), -1).all(axis=1)
    return TrueToes(
        low_px=low[kept],
        high_px=high[kept],
        s_mm=np.array(toes["s_mm"], dtype=np.float64)[kept],
        on_pipe=on_pipe,
    )


def scene_number(photo: Path) -> int:
    """Return the number that names a scene; -1 where its name is no number."""
    return int(photo.stem) if photo.stem.isdigit() else -1


def split_photos(folder: Path, held_out: Sequence[int]) -> tuple[list[Path], list[Path]]:
    """Photos of a set that train, and those that only judge."""
    photos = sorted(photo for photo in folder.glob("*.jpg") if photo.with_suffix(".json").exists())
    judging = [photo for photo in photos if scene_number(photo) in set(held_out)]
    return [photo for photo in photos if photo not in judging], judging


def load_render(photo: Path) -> Render:
    """Load a photo, turned upright as its EXIF says, and its truth."""
    picture = cv2.imread(str(photo))
    if picture is None:
        raise SystemExit(f"{photo} is no picture.")
    levels = [np.asarray(picture, dtype=np.uint8)]
    for _ in range(PYRAMID_LEVELS):
        levels.append(np.asarray(cv2.pyrDown(levels[-1]), dtype=np.uint8))
    truth = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
    toes = read_toes(truth, only_in_view=False)
    return Render(name=photo.stem, levels=tuple(levels), toes=toes)
