"""The toe placer's network: how far from a guessed line the toe lies, and how doubtful that is."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.finder.onnx_model import shipped_model

HALF_ROWS: Final = 28
"""Rows of a toe strip to either side of the guessed line."""
COLUMN_STEP: Final = 2
"""The network answers for every second column."""
COLUMN_MULTIPLE: Final = 2
OFFSET_UNIT_PX: Final = 8.0
"""The network counts offsets in this many pixels."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToeOffsets:
    """Where the toe lies in each of C columns of a toe strip.

    Attributes
    ----------
    offset_px
        (C,) from the strip's middle row to the toe, growing with the rows.
    doubt_px
        (C,) mean absolute error that the network expects of itself.
    """

    offset_px: NDArray[np.float64]
    doubt_px: NDArray[np.float64]


def toe_offsets(strip_bgr: NDArray[np.uint8]) -> ToeOffsets:
    """Place a toe in a strip that follows a guess of it.

    Parameters
    ----------
    strip_bgr
        (2 `HALF_ROWS` + 1, C, 3) uint8 sRGB code values. Columns run along the toe; the first rows
        lie on the weld, the last on base metal; the weld is 50 to 165 px wide at this scale.

    Raises
    ------
    ValueError
        The strip has another number of rows, or hardly any columns.
    """
    rows, columns = strip_bgr.shape[:2]
    if rows != 2 * HALF_ROWS + 1 or columns < 2 * HALF_ROWS or strip_bgr.dtype != np.uint8:
        msg = f"a toe strip has {2 * HALF_ROWS + 1} rows of uint8, not {strip_bgr.shape}"
        raise ValueError(msg)
    padded = np.pad(strip_bgr, ((0, 0), (0, -columns % COLUMN_MULTIPLE), (0, 0)), mode="edge")
    codes = np.ascontiguousarray(padded.transpose(2, 0, 1)[np.newaxis], dtype=np.float32)
    answer = shipped_model("toe_placer.onnx").answer(codes).astype(np.float64).reshape(2, -1)
    asked = np.arange(columns)
    answered = COLUMN_STEP * np.arange(answer.shape[1])
    return ToeOffsets(
        offset_px=OFFSET_UNIT_PX * np.interp(asked, answered, answer[0]),
        doubt_px=np.exp(np.interp(asked, answered, answer[1])),
    )
