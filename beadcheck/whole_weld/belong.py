"""Which photos are one weld: duplicates once, photos of another coupon not at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from beadcheck.whole_weld.compare import compared
from beadcheck.whole_weld.view import View

SAME_ANGLE_DEG: Final = 0.1
SAME_RATIO: Final = 0.002
SAME_MM: Final = 0.05
"""Two photos whose camera stood this near to one place are one photo, saved twice: no hand holds a
phone so alike."""
OTHER_PIPE_RATIO: Final = 0.05
"""Diameters by the markers of two photos of one pipe, even of a strip that stands off, never differ
by as much; those of neighbouring sizes of pipe do."""
OTHER_PIPE_SIGMAS: Final = 5.0
OTHER_STEP_MM: Final = 0.4
OTHER_STEP_SIGMAS: Final = 4.0
"""Two photos of one strip show a joint alike, but for a strip that was moved in between."""
OTHER_TOE_MM: Final = 0.3
SEAM_TOE_MM: Final = 0.9
"""Toes of one place by two photos, both seen aslant, differ by less beyond twice their uncertainty;
over the place where a strip closes by more (an estimate; renders for tuning: 0.1 and 0.6 mm)."""
OTHER_REST: Final = 1.8
LEAST_ALIKE_MM: Final = 30.0
"""Toes of one weld by two photos wander alike but for this many times the stations' own
uncertainty, over pieces as long as this (renders for tuning: up to 1.0; other welds from 2.1)."""
SAME_REST: Final = 0.25
"""Toes of one shot, saved twice, are alike to this part of it (0.17; of two shots from 0.3)."""
SAME_ENDS_MM: Final = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A photo that is no part of the weld, and why."""

    photo: int
    code: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Belonging:
    """Photos of one weld, and those that are left out."""

    views: tuple[View, ...]
    left_out: tuple[LeftOut, ...]


def belonging(views: Sequence[View], *, turn_mm: float | None) -> Belonging:
    """Sort out duplicates and photos of another coupon, as far as the photos tell.

    `turn_mm` is one turn of the strip, round which places repeat.
    """
    kept, left_out = once(views)
    kept, others = one_target(kept)
    left_out += others
    while worst := _most_contradicted(kept, turn_mm):
        out = {left.photo for left in worst}
        kept = [each for each in kept if each.photo not in out]
        left_out += worst
    return Belonging(
        views=tuple(kept), left_out=tuple(sorted(left_out, key=lambda each: each.photo))
    )


def once(views: Sequence[View]) -> tuple[list[View], list[LeftOut]]:
    """Every photo once: one that was saved twice is left out."""
    kept: list[View] = []
    left_out = []
    for view in views:
        twin = next((each for each in kept if _same_shot(each, view)), None)
        if twin is None:
            kept.append(view)
            continue
        left_out.append(
            LeftOut(
                photo=view.photo,
                code="duplicate",
                reason=f"It is the same photo as {twin.record.file}, and counts once.",
            )
        )
    return kept, left_out


def _same_shot(one: View, other: View) -> bool:
    """Whether both are one shot: taken from one place, or with toes alike beyond any second shot.

    The picture may be turned, or saved anew.
    """
    ends_mm = np.abs(one.x_mm[[0, -1]] - other.x_mm[[0, -1]])
    if ends_mm.max() > SAME_ENDS_MM:
        return False
    toes = compared(one, other, None)
    if toes is None or max(toes.levels_mm) > SAME_MM:
        return False
    return _one_place(one, other) or max(toes.rests_mm) <= SAME_REST * toes.own_u_mm


def _one_place(one: View, other: View) -> bool:
    """Whether the camera stood in one place."""
    first, second = one.record, other.record
    if None in (first.tilt_deg, second.tilt_deg, first.distance_mm, second.distance_mm):
        return False
    tilts = np.array([first.tilt_deg, second.tilt_deg], dtype=np.float64)
    reaches = np.array([first.distance_mm, second.distance_mm], dtype=np.float64)
    return bool(np.ptp(tilts) <= SAME_ANGLE_DEG and np.ptp(reaches) <= SAME_RATIO * reaches.max())


def one_target(views: Sequence[View]) -> tuple[list[View], list[LeftOut]]:
    """Keep the photos of the target that most photos show."""
    names = [view.record.target for view in views]
    usual = max(names, key=names.count, default=None)
    return [view for view in views if view.record.target == usual], [
        LeftOut(
            photo=view.photo,
            code="not_belonging",
            reason=f"It shows another target ({view.record.target}) than the other photos "
            f"({usual}).",
        )
        for view in views
        if view.record.target != usual
    ]


def _most_contradicted(views: Sequence[View], turn_mm: float | None) -> list[LeftOut]:
    """Leave out the photo that most others contradict, with the plainest reason; none if all agree.

    Where two photos contradict each other alone, nobody can tell which is the odd one, and both are
    left out; of two photos in all, one stays.
    """
    against: dict[int, list[_Against]] = {place: [] for place in range(len(views))}
    for i, one in enumerate(views):
        for j in range(i + 1, len(views)):
            for weight, reason in _contradictions(one, views[j], turn_mm):
                against[i].append(_Against(weight=weight, reason=reason, other=j))
                against[j].append(_Against(weight=weight, reason=reason, other=i))
    counts = {place: len({each.other for each in found}) for place, found in against.items()}
    worst = max(counts, key=lambda place: (counts[place], place), default=0)
    if not counts or counts[worst] == 0:
        return []
    plainest = max(against[worst], key=lambda each: each.weight)
    if counts[worst] > counts[plainest.other]:
        return [_odd(views[worst], plainest.reason)]
    pair = (worst, plainest.other)
    doubtful = [
        _odd(
            views[this],
            f"{plainest.reason} That photo is {views[other].record.file}, and nothing tells which "
            "of the two is the odd one: photograph both places again.",
        )
        for this, other in (pair, pair[::-1])
    ]
    return doubtful if len(views) > len(doubtful) else doubtful[:1]


def _odd(view: View, reason: str) -> LeftOut:
    return LeftOut(photo=view.photo, code="not_belonging", reason=reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Against:
    """One contradiction of a photo, and the place of the photo that contradicts it."""

    weight: float
    reason: str
    other: int


def _contradictions(one: View, other: View, turn_mm: float | None) -> list[tuple[float, str]]:
    """How strongly, and in what, two photos cannot show one weld."""
    found = []
    if (apart := _diameters_apart(one, other)) is not None:
        found.append(apart)
    if (apart := _steps_apart(one, other)) is not None:
        found.append(apart)
    if (apart := _toes_apart(one, other, turn_mm)) is not None:
        found.append(apart)
    return found


def _diameters_apart(one: View, other: View) -> tuple[float, str] | None:
    first, second = one.frame.alone_diameter_mm, other.frame.alone_diameter_mm
    if first is None or second is None:
        return None
    u_mm = np.hypot(one.frame.alone_diameter_u_mm or 0.0, other.frame.alone_diameter_u_mm or 0.0)
    apart = abs(first - second)
    allowed = max(OTHER_PIPE_RATIO * max(first, second), OTHER_PIPE_SIGMAS * float(u_mm))
    if apart <= allowed:
        return None
    return apart / allowed, (
        f"Its markers show a pipe of another size than those of another photo: {first:.0f} and "
        f"{second:.0f} mm."
    )


def _steps_apart(one: View, other: View) -> tuple[float, str] | None:
    """Joints, or the seam, that both photos show and that differ."""
    worst: tuple[float, str] | None = None
    for first in _steps(one):
        for second in _steps(other):
            if first[:2] != second[:2]:
                continue
            apart = abs(first[2] - second[2])
            u_mm = float(np.hypot(first[3], second[3]))
            allowed = max(OTHER_STEP_MM, OTHER_STEP_SIGMAS * u_mm)
            where = "seam" if first[0][1] != first[1][1] else "glued joint"
            if apart > allowed and (worst is None or apart / allowed > worst[0]):
                worst = (
                    apart / allowed,
                    f"The strip's {where} lies {apart:.1f} mm otherwise than in another photo: it "
                    "shows another strip, or one that was moved.",
                )
    return worst


Step = tuple[tuple[int, int], tuple[int, int], float, float]


def _steps(view: View) -> list[Step]:
    """(segment, turn) before and after each step that a photo shows, the step and its u, in mm."""
    parts = sorted(view.frame.parts, key=lambda part: (part.turn, part.segment))
    steps = []
    for before, after in pairwise(parts):
        base = before.turn
        steps.append(
            (
                (before.segment, 0),
                (after.segment, after.turn - base),
                after.shift_mm - before.shift_mm,
                float(np.hypot(before.shift_u_mm, after.shift_u_mm)),
            )
        )
    return steps


def _toes_apart(one: View, other: View, turn_mm: float | None) -> tuple[float, str] | None:
    """Toe lines that both photos show and that differ by more than their uncertainties."""
    toes = compared(one, other, turn_mm)
    if toes is None:
        return None
    # Where a strip closes its ends lie beside each other as they were wrapped.
    level_mm = (SEAM_TOE_MM if toes.over_seam else OTHER_TOE_MM) + 2.0 * toes.u_mm
    elsewhere = max(toes.levels_mm) / level_mm
    if elsewhere > 1.0:
        return elsewhere, (
            "Where it shows the same place as another photo its toes lie "
            f"{max(toes.levels_mm):.1f} mm elsewhere: it shows another weld, or the strip was "
            "moved in between."
        )
    unlike = max(toes.rests_mm) / (OTHER_REST * toes.own_u_mm)
    if unlike > 1.0 and toes.length_mm >= LEAST_ALIKE_MM:
        return unlike, (
            "Where it shows the same place as another photo its toes wander otherwise, by "
            f"{max(toes.rests_mm):.1f} mm: it shows another weld."
        )
    return None
