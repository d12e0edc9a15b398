"""The labels of real photographs: weld faces and toes, read by eye.

`real_welds.json` names the source of the photographs, which are not here, and holds for each the
outlines that readers drew; see `MODEL.md` for how.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

LABELS: Final = Path(__file__).with_name("real_welds.json")
Line = NDArray[np.float64]
"""(N, 2) x, y in pixels of the photograph; the centre of the top left pixel is (0, 0)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RealWeld:
    """One weld face in view.

    Attributes
    ----------
    outline_px
        Its outline.
    toes_px
        Both toe lines, running the same way; None for a lump that has no two toes.
    unsure_px
        Outlines of parts where the reader could not see the toes and drew them as they may run.
    """

    outline_px: Line
    toes_px: tuple[Line, Line] | None
    unsure_px: tuple[Line, ...]

    @property
    def has_toes(self) -> bool:
        """Whether it is a run with two toes."""
        return self.toes_px is not None

    def even_toes(self, step_px: float = 2.0) -> tuple[Line, Line]:
        """Both toes at matching places, equal shares of each line's length."""
        if self.toes_px is None:
            msg = "this weld has no toes"
            raise ValueError(msg)
        longest = max(float(_lengths(toe)[-1]) for toe in self.toes_px)
        shares = np.linspace(0.0, 1.0, max(8, round(longest / step_px)))
        first, second = (_along(toe, shares) for toe in self.toes_px)
        return first, second


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RealPhoto:
    """One labelled photograph; `group` names the weld that it shows with others."""

    file: str
    group: str
    held_out: bool
    welds: tuple[RealWeld, ...]
    ignored_px: tuple[Line, ...]
    second_reading: tuple[RealWeld, ...]


def read_labels(path: Path = LABELS) -> list[RealPhoto]:
    """Read every labelled photograph."""
    document = json.loads(path.read_text(encoding="utf-8"))
    held_out = set(document["held_out_groups"])
    return [
        RealPhoto(
            file=photo["file"],
            group=photo["group"],
            held_out=photo["group"] in held_out,
            welds=tuple(_weld(weld) for weld in photo["welds"]),
            ignored_px=tuple(_line(outline) for outline in photo["ignored"]),
            second_reading=tuple(_weld(weld) for weld in photo.get("second_reading", [])),
        )
        for photo in document["photos"]
    ]


def _weld(weld: dict[str, Any]) -> RealWeld:
    if "outline" in weld:
        return RealWeld(outline_px=_line(weld["outline"]), toes_px=None, unsure_px=())
    first, second = (_line(toe) for toe in weld["toes"])
    return RealWeld(
        outline_px=np.concatenate([first, second[::-1]]),
        toes_px=(first, second),
        unsure_px=tuple(_line(area) for area in weld.get("unsure", [])),
    )


def _line(points: list[list[float]]) -> Line:
    return np.array(points, dtype=np.float64).reshape(-1, 2)


def _lengths(line: Line) -> NDArray[np.float64]:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def _along(line: Line, shares: NDArray[np.float64]) -> Line:
    lengths = _lengths(line)
    return np.stack([np.interp(shares * lengths[-1], lengths, line[:, i]) for i in (0, 1)], axis=1)
