"""A straightened weld with its true toes: what toe strips are cut from."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

JPEG_QUALITY: Final = 86


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeMap:
    """A picture with the weld laid level.

    Attributes
    ----------
    bgr
        (R, C, 3) uint8.
    left_row, right_row
        (C,) rows of the true toes; left above right.
    known
        (C,) whether the toes are known there and the weld has its full width.
    width_px
        Median width of the weld.
    judging
        Whether it only judges.
    """

    bgr: NDArray[np.uint8]
    left_row: NDArray[np.float64]
    right_row: NDArray[np.float64]
    known: NDArray[np.bool_]
    width_px: float
    judging: bool = False


def save_maps(welds: Sequence[ToeMap], path: Path) -> None:
    """Write maps into one archive of NumPy's, their pictures as JPEG."""
    arrays: dict[str, NDArray[np.generic]] = {
        "width_px": np.array([weld.width_px for weld in welds]),
        "judging": np.array([weld.judging for weld in welds]),
    }
    for number, weld in enumerate(welds):
        file = io.BytesIO()
        Image.fromarray(weld.bgr[..., ::-1]).save(file, "JPEG", quality=JPEG_QUALITY, subsampling=0)
        arrays[f"jpeg{number}"] = np.frombuffer(file.getvalue(), dtype=np.uint8)
        arrays[f"rows{number}"] = np.stack([weld.left_row, weld.right_row]).astype(np.float32)
        arrays[f"known{number}"] = weld.known
    np.savez_compressed(path, allow_pickle=False, **arrays)


def load_maps(files: Sequence[Path], *, judging: bool) -> list[ToeMap]:
    """Read those maps of several files that judge, or that train."""
    maps = []
    for file in files:
        with np.load(file) as kept:
            for number, width_px in enumerate(kept["width_px"]):
                if bool(kept["judging"][number]) is not judging:
                    continue
                rgb = np.asarray(Image.open(io.BytesIO(kept[f"jpeg{number}"].tobytes())))
                left, right = kept[f"rows{number}"].astype(np.float64)
                maps.append(
                    ToeMap(
                        bgr=np.ascontiguousarray(rgb[..., ::-1]),
                        left_row=left,
                        right_row=right,
                        known=kept[f"known{number}"],
                        width_px=float(width_px),
                        judging=judging,
                    )
                )
    return maps
