"""The depth of a pass in its groove, from light-line photos of the same pass."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from beadcheck.coupon import DepthBy, PassDepth
from beadcheck.coupon.pass_depth import lies_below
from beadcheck.photo import PhotoKind
from beadcheck.pipeline.request import Request
from beadcheck.pipeline.section_take import section_take
from beadcheck.pipeline.solved import designs_of
from beadcheck.quantity import Quantity, QuantityName, Statistic

ELSEWHERE_MM: Final = 0.5
"""A pass may lie deeper or higher by this where no section shows it, rectangular (common practice,
no published source)."""
BEND_PART: Final = 0.25
"""The bend between the walls that is told is the largest; where the deepest point lies it is less
by up to twice this part, rectangular."""


def with_depth_seen(requests: Sequence[Request]) -> tuple[Request, ...]:
    """Return requests for one pass that know its depth where its light-line photos show it.

    Those photos are measured for it beforehand; nothing is where the depth was entered, no groove
    is in question, or there are only photos of one kind.
    """
    wanting = [
        request
        for request in requests
        if lies_below(request.coupon) and request.coupon.depth is None
    ]
    kinds = {take.kind for request in wanting for take in request.takes}
    if not {PhotoKind.FACE, PhotoKind.LIGHT_LINE} <= kinds:
        return tuple(requests)
    seen = [depth for request in wanting for depth in _depths(request)]
    if not seen:
        return tuple(requests)
    depth = _together(seen)
    return tuple(
        replace(request, coupon=replace(request.coupon, depth=depth))
        if request in wanting
        else request
        for request in requests
    )


def _depths(request: Request) -> Iterator[tuple[float, float]]:
    """Depth of the toes, and its standard uncertainty, by each light-line photo that shows it."""
    designs = designs_of(request)
    for take in request.takes:
        if take.kind is PhotoKind.LIGHT_LINE:
            (reading,) = section_take(take, request, designs).outcome.readings
            depth = toe_depth(reading.quantities)
            if depth is not None:
                yield depth


def toe_depth(quantities: Sequence[Quantity]) -> tuple[float, float] | None:
    """Depth of a pass's edges, and its standard uncertainty, in mm; None where none is told.

    The deepest point of a hollow pass lies below the line that joins its edges, by its concavity;
    that of a round pass is its edge.
    """
    found = {(each.name, each.statistic): each for each in quantities}
    deepest = found.get((QuantityName.DEPTH_BELOW_SURFACE, Statistic.MEAN))
    if deepest is None:
        return None
    bend = found.get((QuantityName.CONCAVITY, Statistic.MAX))
    bend_mm, u_bend_mm = (0.0, 0.0) if bend is None else (bend.value, bend.standard_uncertainty)
    taken_mm = (1.0 - BEND_PART) * bend_mm
    u_mm = math.hypot(
        deepest.standard_uncertainty,
        u_bend_mm,
        BEND_PART * bend_mm / math.sqrt(3.0),
        ELSEWHERE_MM / math.sqrt(3.0),
    )
    return max(0.0, deepest.value - taken_mm), u_mm


def _together(seen: Sequence[tuple[float, float]]) -> PassDepth:
    """Mean of several photos; what they differ by is taken to be the pass's own."""
    depths = [depth_mm for depth_mm, _ in seen]
    half_mm = 0.5 * (max(depths) - min(depths))
    u_mm = math.hypot(max(u for _, u in seen), half_mm / math.sqrt(3.0))
    return PassDepth(depth_mm=sum(depths) / len(depths), u_depth_mm=u_mm, by=DepthBy.PROFILE)
