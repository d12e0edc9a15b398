"""A straightened weld with its true toes: what toe strips are cut from. One file a weld."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray


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
    """

    bgr: NDArray[np.uint8]
    left_row: NDArray[np.float64]
    right_row: NDArray[np.float64]
    known: NDArray[np.bool_]
    width_px: float


def save_map(weld: ToeMap, path: Path) -> None:
    """Write one map as a compressed archive of NumPy's."""
    np.savez_compressed(
        path,
        bgr=weld.bgr,
        left_row=weld.left_row,
        right_row=weld.right_row,
        known=weld.known,
        width_px=weld.width_px,
    )


def load_map(path: Path) -> ToeMap:
    """Read what `save_map` wrote."""
    with np.load(path) as kept:
        return ToeMap(
            bgr=kept["bgr"],
            left_row=kept["left_row"],
            right_row=kept["right_row"],
            known=kept["known"],
            width_px=float(kept["width_px"]),
        )


def load_maps(folders: Sequence[Path]) -> list[ToeMap]:
    """Read every map of some folders, in order of their names."""
    return [load_map(path) for folder in folders for path in sorted(folder.glob("*.npz"))]
