"""The sections of one photo on a sheet: a few plots with their words, and all of them together."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.column import SMALL, Column
from beadcheck.report.drawing import MUTED, Drawing
from beadcheck.report.profile_limits import limit_lines
from beadcheck.report.profile_plot import overlay_plot, profile_plot
from beadcheck.report.profile_words import reading_lines
from beadcheck.report.wording import LengthUnit
from beadcheck.result import ProfileRecord, Result, concerns

EACH: Final = 3
"""Up to so many sections are each drawn; of more, the telling ones."""
TELLING: Final = (
    "face_reinforcement",
    "root_reinforcement",
    "depth_below_surface",
    "linear_misalignment",
)
"""What sections are ranked by: the first of these that they give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TellingSection:
    """A section worth drawing, and why."""

    profile: ProfileRecord
    why: str


def profile_parts(
    result: Result, photo_index: int, *, unit: LengthUnit, width_px: int
) -> list[Drawing]:
    """Plots of the sections of one photo with their words, from top to bottom; maybe none."""
    profiles = [each for each in result.profiles if concerns(each, photo_index)]
    if not profiles:
        return []
    checks = [each for each in result.checks if concerns(each, photo_index)]
    parts = []
    for chosen in telling_sections(profiles):
        plot = profile_plot(chosen.profile, checks, unit=unit, width_px=width_px, lead=chosen.why)
        # What one section alone says is the photo's own values, which stand below.
        lines = reading_lines(chosen.profile, unit) if len(profiles) > 1 else []
        limits = [each.words for each in limit_lines(chosen.profile, checks)]
        parts += [Drawing(plot), _words(lines, limits, width_px=width_px)]
    if len(profiles) > 1:
        parts.append(Drawing(overlay_plot(profiles, unit=unit, width_px=width_px)))
    return parts


def telling_sections(profiles: Sequence[ProfileRecord]) -> list[TellingSection]:
    """Every section where there are few, else the highest, the middle, the lowest, the deepest."""
    if len(profiles) <= EACH:
        return [TellingSection(profile=each, why="") for each in profiles]
    name = _ranked_by(profiles)
    heights = {
        index: _height(each, name)
        for index, each in enumerate(profiles)
        if name is None or _value(each, name) is not None
    }
    order = sorted(heights, key=heights.__getitem__)
    chosen = {
        order[-1]: "Highest",
        order[len(order) // 2]: "Middling",
        order[0]: "Lowest",
    }
    depths = [_undercut(each) for each in profiles]
    deepest = int(np.argmax(depths))
    if depths[deepest] > 0.0:
        chosen[deepest] = (
            f"{chosen[deepest]}, deepest undercut" if deepest in chosen else "Deepest undercut"
        )
    return [TellingSection(profile=profiles[index], why=why) for index, why in chosen.items()]


def _ranked_by(profiles: Sequence[ProfileRecord]) -> str | None:
    """What sections are ranked by: the first telling name that any of them gives."""
    given = {each.name for profile in profiles for each in profile.readings}
    return next((name for name in TELLING if name in given), None)


def _value(profile: ProfileRecord, name: str) -> float | None:
    return next((each.value for each in profile.readings if each.name == name), None)


def _height(profile: ProfileRecord, name: str | None) -> float:
    """What a section is ranked by; depths count downwards."""
    value = None if name is None else _value(profile, name)
    if value is None:
        return max((each for each in profile.height_mm if each is not None), default=0.0)
    return -value if name == "depth_below_surface" else value


def _undercut(profile: ProfileRecord) -> float:
    """Depth of the deeper undercut that is there for sure, in mm; 0 where none is."""
    return max(
        (
            each.value
            for each in profile.readings
            if each.name == "undercut_depth" and each.value > each.expanded_uncertainty
        ),
        default=0.0,
    )


def _words(lines: Sequence[str], limits: Sequence[str], *, width_px: int) -> Drawing:
    """What a section says, in lines, and the limits that are drawn."""
    column = Column(width_px=width_px, margin_px=round(0.02 * width_px))
    small = round(width_px / SMALL)
    for line in lines:
        column.paragraph(line, small)
    if limits:
        words = f"Limits drawn, with the finding over all sections: {'; '.join(limits)}."
        column.paragraph(words, small, colour=MUTED)
    column.gap(0.8 * small)
    return column.drawn()


def stacked_rgb(parts: Sequence[Drawing]) -> NDArray[np.uint8]:
    """(H, W, 3) drawings of one width, one under the other."""
    return np.concatenate([part.finished_rgb() for part in parts])
