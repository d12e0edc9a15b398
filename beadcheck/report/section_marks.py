"""The sections of one photo as marks in its pixels: outline or line, base metal, crown, toes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import ORANGE, PAPER, SKY, Drawing, Points, text_width_px
from beadcheck.report.profile_axes import shown_mm
from beadcheck.report.weld_marks import HALO
from beadcheck.report.wording import LengthUnit, value_words
from beadcheck.result import BaseLineRecord, ProfileRecord, ReadingRecord, Result

CROWNS: Final = ("face_reinforcement", "root_reinforcement", "depth_below_surface", "underfill")
"""What the crown's words say: the first of these that a section gives."""
BESIDE_TOES_MM: Final = 6.0
"""Base metal that a close-up shows on either side."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionMark:
    """One section in pixels.

    Attributes
    ----------
    line_px
        (N, 2) its points, NaN in holes.
    base_px
        (2, 2) ends of the base metal's line, under the section.
    toes_px, undercuts_px
        (K, 2) each.
    toe_words
        What stands at each toe in a close-up.
    crown_px
        (2,) the highest or lowest point; NaN where none was read.
    crown_words
        Its height or depth with U.
    near
        (N,) points on the weld and close beside it.
    """

    line_px: Points
    base_px: Points
    toes_px: Points
    toe_words: tuple[str, ...]
    undercuts_px: Points
    crown_px: Points
    crown_words: str
    near: NDArray[np.bool_]

    def moved(self, matrix: NDArray[np.float64]) -> "SectionMark":
        """Return the same marks after a (2, 3) affine map of the pixels."""

        def move(points: Points) -> Points:
            return points @ matrix[:, :2].T + matrix[:, 2]

        return replace(
            self,
            line_px=move(self.line_px),
            base_px=move(self.base_px),
            toes_px=move(self.toes_px),
            undercuts_px=move(self.undercuts_px),
            crown_px=move(self.crown_px),
        )


def section_marks(result: Result, photo_index: int, unit: LengthUnit) -> tuple[SectionMark, ...]:
    """Sections of a side-on or light-line photo; a pair's stations are marked as toes instead."""
    return tuple(_mark(each, unit) for each in result.profiles if each.photo == photo_index)


def _mark(profile: ProfileRecord, unit: LengthUnit) -> SectionMark:
    across = np.array(profile.across_mm)
    line = np.array(
        [(np.nan, np.nan) if each is None else each for each in profile.points_px],
        dtype=np.float64,
    ).reshape(-1, 2)
    line[[each is None for each in profile.height_mm]] = np.nan
    toes = {
        f"{side} toe": each
        for side, each in (("left", profile.left_toe_px), ("right", profile.right_toe_px))
        if each is not None
    }
    low, high = shown_mm(profile, BESIDE_TOES_MM)
    crown = _crown(profile.readings)
    return SectionMark(
        line_px=line,
        base_px=_base_px(profile, across, line, (low, high)),
        toes_px=np.array(list(toes.values()), dtype=np.float64).reshape(-1, 2),
        toe_words=tuple(toes),
        undercuts_px=np.array(
            [_at(across, line, each) for each in _undercuts(profile.readings)], dtype=np.float64
        ).reshape(-1, 2),
        crown_px=np.full(2, np.nan)
        if crown is None or crown.across_mm is None
        else _at(across, line, crown.across_mm),
        crown_words=""
        if crown is None
        else value_words(crown.value, crown.expanded_uncertainty, crown.unit, unit),
        near=(across >= low) & (across <= high),
    )


def _crown(readings: Sequence[ReadingRecord]) -> ReadingRecord | None:
    for name in CROWNS:
        for each in readings:
            if each.name == name and each.across_mm is not None:
                return each
    return None


def _undercuts(readings: Sequence[ReadingRecord]) -> list[float]:
    return [
        each.across_mm
        for each in readings
        if each.name == "undercut_depth"
        and each.across_mm is not None
        and each.value > each.expanded_uncertainty
    ]


def _at(across: NDArray[np.float64], line: Points, at_mm: float) -> Points:
    """(2,) pixel of a place across."""
    known = np.isfinite(line).all(axis=1)
    return np.array([np.interp(at_mm, across[known], line[known, axis]) for axis in (0, 1)])


def _base_px(
    profile: ProfileRecord,
    across: NDArray[np.float64],
    line: Points,
    ends_mm: tuple[float, float],
) -> Points:
    """(2, 2) straight line through the points of the parent metal on both sides."""
    used = np.isfinite(line).all(axis=1) & (
        _within(across, profile.left_base) | _within(across, profile.right_base)
    )
    if np.count_nonzero(used) < 2:
        return np.full((2, 2), np.nan)
    fits = [np.polynomial.polynomial.polyfit(across[used], line[used, i], 1) for i in (0, 1)]
    return np.array(
        [[fit[0] + fit[1] * each for fit in fits] for each in ends_mm], dtype=np.float64
    )


def _within(across: NDArray[np.float64], base: BaseLineRecord | None) -> NDArray[np.bool_]:
    if base is None:
        return np.zeros(len(across), dtype=np.bool_)
    return np.asarray((across >= base.across_mm[0]) & (across <= base.across_mm[1]))


def draw_section(drawing: Drawing, mark: SectionMark, *, width_px: float, size_px: int) -> None:
    """Draw a section: its line solid, the base metal dashed, toes as triangles, words at the crown.

    An undercut's bottom gets a ring.
    """
    if np.isfinite(mark.base_px).all():
        dash, gap = 5.0 * width_px, 4.0 * width_px
        drawing.dashes(mark.base_px, PAPER, 0.8 * width_px, dash_px=dash, gap_px=gap, halo=HALO)
    for run in _runs(mark.line_px):
        drawing.line(run, SKY, width_px, halo=HALO)
    for toe in mark.toes_px:
        _triangle(drawing, toe, 4.0 * width_px)
    for bottom in mark.undercuts_px:
        at = (float(bottom[0]), float(bottom[1]))
        drawing.disc(at, 3.4 * width_px, HALO)
        drawing.disc(at, 2.6 * width_px, PAPER)
        drawing.disc(at, 1.5 * width_px, HALO)
    if np.isfinite(mark.crown_px).all() and mark.crown_words:
        _crown_words(drawing, mark, size_px)


def draw_toe_words(drawing: Drawing, mark: SectionMark, *, size_px: int) -> None:
    """Name the toes, on the side of the base metal that the crown does not lie on."""
    down = -1.0 if mark.crown_px[1] > mark.base_px[:, 1].mean() else 1.0
    for toe, words in zip(mark.toes_px, mark.toe_words, strict=True):
        half = 0.5 * text_width_px(words, size_px, bold=True)
        x = float(np.clip(toe[0], half + 4.0, drawing.width_px - half - 4.0))
        y = float(np.clip(toe[1] + 1.3 * down * size_px, size_px, drawing.height_px - size_px))
        drawing.text((x, y), words, size_px, colour=PAPER, halo=HALO, anchor="mm", bold=True)


def _runs(line_px: Points) -> list[Points]:
    """(N, 2) pieces of a line between its holes."""
    known = np.isfinite(line_px).all(axis=1)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(int)))
    return [line_px[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _triangle(drawing: Drawing, at: Points, size: float) -> None:
    shape = np.array([[0.0, -0.62], [0.6, 0.45], [-0.6, 0.45]])
    drawing.polygon(at + 1.5 * size * shape, HALO)
    drawing.polygon(at + size * shape, ORANGE)


def _crown_words(drawing: Drawing, mark: SectionMark, size_px: int) -> None:
    """Put the crown's height beside it, away from the base metal, inside the picture."""
    drawing.disc((float(mark.crown_px[0]), float(mark.crown_px[1])), 0.28 * size_px, HALO)
    drawing.disc((float(mark.crown_px[0]), float(mark.crown_px[1])), 0.18 * size_px, PAPER)
    away = mark.crown_px - mark.base_px.mean(axis=0)
    length = float(np.hypot(*away))
    away = away / length if np.isfinite(length) and length > 0.0 else np.array([0.0, -1.0])
    half = 0.5 * text_width_px(mark.crown_words, size_px, bold=True)
    place = mark.crown_px + away * (1.1 * size_px + half * abs(away[0]))
    x = float(np.clip(place[0], half + 4.0, drawing.width_px - half - 4.0))
    y = float(np.clip(place[1], size_px, drawing.height_px - size_px))
    drawing.text((x, y), mark.crown_words, size_px, colour=PAPER, halo=HALO, anchor="mm", bold=True)
