"""Plots of height profiles: heights, their uncertainty, toes, undercut, and the limit."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.report.drawing import BLUE, INK, ORANGE, SKY, VERMILION
from beadcheck.report.profile_axes import (
    BAND_WORDS,
    Field,
    Heights,
    drawn_heights,
    extent_of,
    hexed,
    new_field,
)
from beadcheck.report.profile_limits import SHOWN_FROM_MM, LimitLine, limit_lines, on_base
from beadcheck.report.profile_words import place_words
from beadcheck.report.wording import LengthUnit, value_words
from beadcheck.result import CheckRecord, ProfileRecord, ReadingRecord

METAL: Final = "#eceae6"
UPWARDS: Final = ("face_reinforcement", "root_reinforcement")
DEPTHS: Final = ("underfill", "depth_below_surface", "concavity")


def profile_plot(
    profile: ProfileRecord,
    checks: Sequence[CheckRecord],
    *,
    unit: LengthUnit,
    width_px: int,
    lead: str = "",
) -> NDArray[np.uint8]:
    """One section: heights against places across, with what was read in it.

    Parameters
    ----------
    checks
        Comparisons with limits that concern this profile's photo; their limits are drawn in.
    lead
        What is special about this section, for the title.

    Returns
    -------
    NDArray
        (H, width_px, 3) uint8, red green blue.
    """
    heights = drawn_heights(profile)
    lines = limit_lines(profile, checks)
    extent = extent_of([heights], [each for line in lines for each in line.heights_mm])
    note = f"{BAND_WORDS} {extent.scale_words}"
    place = place_words(profile)
    title = f"{lead}: {place}" if lead else f"{place[0].upper()}{place[1:]}"
    field = new_field(extent, title, note, unit=unit, width_px=width_px)
    _draw_metal(field, heights, extent.low_mm)
    _draw_base(field, profile)
    for line in lines:
        _draw_limit(field, line)
    _draw_toes(field, profile)
    for reading in _drawn(profile.readings):
        _draw_reading(field, profile, heights, reading)
    return field.pixels_rgb()


def overlay_plot(
    profiles: Sequence[ProfileRecord], *, unit: LengthUnit, width_px: int
) -> NDArray[np.uint8]:
    """Every section of a photo over the others, from dark to light along the weld."""
    from matplotlib import colormaps  # noqa: PLC0415  # as the field itself: only once something is drawn

    sections = [drawn_heights(profile) for profile in profiles]
    extent = extent_of(sections)
    stations = np.array([profile.s_mm for profile in profiles])
    first, last = float(stations.min()), float(stations.max())
    title = f"All {len(profiles)} sections, {round(first)} to {round(last)} mm"
    note = f"From dark to light along the weld. {extent.scale_words}"
    field = new_field(extent, title, note, unit=unit, width_px=width_px)
    shades = colormaps["cividis"](0.9 * (stations - first) / max(last - first, 1e-9))
    for heights, shade in zip(sections, shades, strict=True):
        field.axes.plot(
            heights.across_mm, heights.height_mm, color=shade, linewidth=0.06 * field.text
        )
    field.axes.axhline(0.0, color=hexed(INK), linewidth=0.08 * field.text, dashes=(5.0, 3.0))
    return field.pixels_rgb()


def _drawn(readings: Sequence[ReadingRecord]) -> list[ReadingRecord]:
    """Readings that may get an arrow; below the surface, the depth says more than the dip."""
    deep = any(each.name == "depth_below_surface" for each in readings)
    return [each for each in readings if not (deep and each.name == "concavity")]


def _draw_metal(field: Field, heights: Heights, low_mm: float) -> None:
    x, z, u = heights.across_mm, heights.height_mm, heights.expanded_mm
    field.axes.fill_between(x, low_mm, z, color=METAL, linewidth=0.0)
    field.axes.fill_between(x, z - u, z + u, color=hexed(SKY), alpha=0.55, linewidth=0.0)
    field.axes.plot(x, z, color=hexed(BLUE), linewidth=0.14 * field.text)


def _draw_base(field: Field, profile: ProfileRecord) -> None:
    """Draw both base lines as far as their toes, and the line that joins the toes."""
    left, right = profile.left_toe_across_mm, profile.right_toe_across_mm
    for base, toe in ((profile.left_base, left), (profile.right_base, right)):
        if base is not None:
            ends = np.array([*base.across_mm, *([] if toe is None else [toe])])
            ends = np.array([ends.min(), ends.max()])
            field.axes.plot(
                ends,
                [on_base(base, each) for each in ends],
                color=hexed(INK),
                linewidth=0.1 * field.text,
                dashes=(5.0, 3.0),
            )
    if left is not None and right is not None:
        field.axes.plot(
            [left, right],
            [on_base(profile.left_base, left), on_base(profile.right_base, right)],
            color=hexed(INK),
            linewidth=0.07 * field.text,
            dashes=(1.5, 2.5),
        )


def _draw_limit(field: Field, line: LimitLine) -> None:
    field.axes.plot(
        line.across_mm,
        line.heights_mm,
        color=hexed(VERMILION),
        linewidth=0.14 * field.text,
        dashes=(3.0, 1.5, 0.8, 1.5),
    )
    end = 0 if line.check.side == "left" else 1
    _label(
        field,
        line.short_words,
        (line.across_mm[end], line.heights_mm[end]),
        shift=((-0.4, 0.4)[end], 0.0),
        anchor=(("right", "left")[end], "center"),
    )


def _draw_toes(field: Field, profile: ProfileRecord) -> None:
    angles = {each.side: each for each in profile.readings if each.name == "toe_angle"}
    for side, toe, base in (
        ("left", profile.left_toe_across_mm, profile.left_base),
        ("right", profile.right_toe_across_mm, profile.right_base),
    ):
        if toe is None:
            continue
        at = (toe, on_base(base, toe))
        field.axes.plot(
            *([each] for each in at),
            marker="^",
            markersize=0.7 * field.text,
            markerfacecolor=hexed(ORANGE),
            markeredgecolor=hexed(INK),
            markeredgewidth=0.08 * field.text,
            linestyle="none",
        )
        angle = angles.get(side)
        words = "toe" if angle is None else f"toe {angle.value:.0f}°"
        inward = 1.0 if side == "left" else -1.0
        anchor = ("left" if side == "left" else "right", "top")
        _label(field, words, at, shift=(-0.3 * inward, -0.6), anchor=anchor)


def _draw_reading(
    field: Field, profile: ProfileRecord, heights: Heights, reading: ReadingRecord
) -> None:
    """Draw an arrow from the line to the highest or lowest point, or to an undercut's bottom."""
    across = reading.across_mm
    undercut = reading.name == "undercut_depth"
    deep = reading.value > max(SHOWN_FROM_MM, reading.expanded_uncertainty)
    shown = reading.name in UPWARDS or (deep and (undercut or reading.name in DEPTHS))
    if across is None or not shown:
        return
    left = reading.side == "left"
    if undercut:
        foot = on_base(profile.left_base if left else profile.right_base, across)
    else:
        foot = _joining_line(profile, across)
    tip = heights.at(across)
    arrow = {"arrowstyle": "<->", "color": hexed(INK), "linewidth": 0.09 * field.text}
    field.axes.annotate(
        "",
        (across, tip),
        xytext=(across, foot),
        arrowprops={**arrow, "shrinkA": 0.0, "shrinkB": 0.0, "mutation_scale": 0.8 * field.text},
    )
    words = value_words(reading.value, reading.expanded_uncertainty, reading.unit, LengthUnit.MM)
    if undercut:
        anchor = ("right" if left else "left", "bottom")
        shift = (0.0, 0.5)
        _label(field, f"undercut {reading.value:.2f}", (across, foot), shift=shift, anchor=anchor)
    else:
        at = (across, 0.5 * (foot + tip))
        _label(field, words, at, shift=(0.5, 0.0), anchor=("left", "center"), bold=True)


def _joining_line(profile: ProfileRecord, across_mm: float) -> float:
    """Height of the line that joins the toes at a place."""
    left, right = profile.left_toe_across_mm, profile.right_toe_across_mm
    if left is None or right is None:
        return 0.0
    ends = [on_base(profile.left_base, left), on_base(profile.right_base, right)]
    return float(np.interp(across_mm, [left, right], ends))


def _label(
    field: Field,
    words: str,
    at: tuple[float, float],
    *,
    shift: tuple[float, float],
    anchor: tuple[str, str],
    bold: bool = False,
) -> None:
    """Put words beside a point, shifted by sizes of the text, kept inside the field."""
    field.axes.annotate(
        words,
        at,
        xytext=(shift[0] * field.text, shift[1] * field.text),
        textcoords="offset points",
        ha=anchor[0],
        va=anchor[1],
        size=0.9 * field.text,
        weight="bold" if bold else "normal",
        color=hexed(INK),
        bbox={"facecolor": "w", "edgecolor": "none", "alpha": 0.75, "pad": 1.0},
    )
