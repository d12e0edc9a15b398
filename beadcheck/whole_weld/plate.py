"""Photos along a plate's weld: those that show one card where it lies, in one frame.

A card that was moved in between says nothing of how far. Photos belong to one lie of the card where
what they share of the weld looks alike: toes, widths and ripples at the same places.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from beadcheck.result import Result
from beadcheck.whole_weld.belong import LeftOut, once, one_target
from beadcheck.whole_weld.compare import shared_places
from beadcheck.whole_weld.laid import Laid
from beadcheck.whole_weld.merge import Placed
from beadcheck.whole_weld.view import Course, Floats, View, views_of

NEAR_TOE_MM: Final = 0.5
"""Toes of one place by two photos of one lie of the card differ by less beyond their doubt."""
ALIKE: Final = 0.75
"""Least correlation of two photos' toes on one stretch of weld, where nothing else tells (our
estimate: slow waves of two stretches are alike by chance)."""
ALIKE_WITH_CRESTS: Final = 0.3
MEETING: Final = 0.5
"""Least correlation, and least share of crests that meet beyond chance, where both tell: evenly
spaced crests of two stretches may meet by chance, and so may waves, but seldom both."""
MEETS: Final = 0.2
"""Crests of two photos meet within this part of their spacing."""
BY_CHANCE: Final = 2.0 * MEETS
FEWEST_CRESTS: Final = 8


def along_plate(result: Result) -> Laid | None:
    """Join the largest group of photos that show one lie of the card; None without two photos."""
    course = _course(views_of(result))
    if course is None:
        return None
    views, left_out = once(views_of(result, course))
    views, others = one_target(views)
    groups = _connected(views)
    largest = max(groups, key=len)
    connected = [views[place] for place in sorted(largest)]
    lonely = [view for place, view in enumerate(views) if place not in largest]
    left_out = [*left_out, *others, *(_not_connected(view, connected) for view in lonely)]
    first_mm = min(float(view.x_mm[0]) for view in connected) - 0.5
    last_mm = max(float(view.x_mm[-1]) for view in connected) + 0.5
    frame = connected[0].frame
    u_scale_ratio = frame.print_u_ratio / frame.print_ratio
    return Laid(
        placed=tuple(
            Placed(view=view, offset_mm=-first_mm, u_offset_mm=0.0, scale_ratio=1.0)
            for view in connected
        ),
        left_out=tuple(sorted(left_out, key=lambda each: each.photo)),
        length_mm=last_mm - first_mm,
        u_length_mm=(last_mm - first_mm) * u_scale_ratio,
        u_scale_ratio=u_scale_ratio,
        clock_sense=0,
    )


def _course(views: Sequence[View]) -> Course | None:
    """Straight line through the weld of the first photo, in the direction of its stations."""
    if len(views) < 2:
        return None
    first = views[0]
    points = np.stack([first.x_mm, first.middle_mm], axis=1)
    start = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - start)
    direction = axes[0]
    run = points[np.argmax(first.station)] - points[np.argmin(first.station)]
    if run @ direction < 0.0:
        direction = -direction
    return Course(start_mm=start, direction=direction)


def _connected(views: Sequence[View]) -> list[set[int]]:
    """Groups of photos that are linked by stretches of weld that look alike."""
    groups: list[set[int]] = []
    for place, view in enumerate(views):
        linked = [group for group in groups if any(_alike(views[other], view) for other in group)]
        groups = [group for group in groups if group not in linked]
        groups.append({place}.union(*linked))
    return groups


def _alike(one: View, other: View) -> bool:
    """Whether two photos show the same weld at the same places of the card's frame."""
    shared = shared_places(one, other, None)
    if shared is None:
        return False
    x_mm, _ = shared
    first, second = (
        np.stack([np.interp(x_mm, view.x_mm, toe) for toe in (view.left_mm, view.right_mm)])
        for view in (one, other)
    )
    u_mm = np.hypot(*(np.interp(x_mm, view.x_mm, view.u_mm) for view in (one, other)))
    apart = np.abs(np.median(first - second, axis=1)).max()
    if apart > NEAR_TOE_MM + float(np.median(u_mm)):
        return False
    alike, meeting = _correlation(first, second), _meeting(one, other, x_mm)
    if meeting is None:
        return alike >= ALIKE
    return alike >= ALIKE_WITH_CRESTS and meeting >= MEETING


def _correlation(first: Floats, second: Floats) -> float:
    """Correlation of two photos' toes about their means; 0 where nothing varies."""
    one, other = ((toes - toes.mean(axis=1, keepdims=True)).ravel() for toes in (first, second))
    size = float(np.linalg.norm(one) * np.linalg.norm(other))
    return float(one @ other) / size if size > 1e-9 else 0.0


def _meeting(one: View, other: View, x_mm: Floats) -> float | None:
    """Share of one photo's crests that meet the other's, less what meets by chance; 1 is all.

    None where there are too few crests to tell.
    """
    first, second = (
        view.crest_mm[(view.crest_mm >= x_mm[0]) & (view.crest_mm <= x_mm[-1])]
        for view in (one, other)
    )
    if min(first.size, second.size) < FEWEST_CRESTS:
        return None
    spacing_mm = float(np.median(np.diff(first)))
    nearest = np.abs(first[:, None] - second).min(axis=1)
    share = float(np.mean(nearest <= MEETS * spacing_mm))
    return (share - BY_CHANCE) / (1.0 - BY_CHANCE)


def _not_connected(view: View, connected: Sequence[View]) -> LeftOut:
    others = ", ".join(each.record.file for each in connected)
    return LeftOut(
        photo=view.photo,
        code="not_connected",
        reason=f"Its card does not lie as in {others}, or they share no stretch of weld, so that "
        "its place along the weld is not known: it is told by itself. To join photos, leave the "
        "card where it lies and let them overlap.",
    )
