"""The target's own frame, laid on the bare metal: in it, photos of one target meet."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.calibrated import by_photo_alone
from beadcheck.surface.contract import Points
from beadcheck.surface.fit import numeric_jacobian
from beadcheck.surface.model import PLACE, RADIUS
from beadcheck.surface.print_frame import PartKey
from beadcheck.surface.prior import u_radius
from beadcheck.surface.solved import SolvedSurface

Floats = NDArray[np.float64]

ALONG_MM: Final = 100.0
"""Length over which the direction of the target's edge is taken; it is straight on the surface."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenPart:
    """A rigid part of the target, and how far it lies from its printed place along the strip.

    `shift_mm`, against the part that gives the frame, and its standard uncertainty are mm on the
    metal.
    """

    key: PartKey
    shift_mm: float
    u_shift_mm: float


def in_target_frame(surface: SolvedSurface, points_mm: Points) -> Points:
    """Return surface points in the frame of the target as it lies.

    On pipe x runs along the strip from its 12 o'clock mark, read off its edge y = 0 straight across
    from the point, in the frame of the part that comes first in `seen_parts`; y is the distance
    along the pipe's axis from that edge of the part beside the point. On plate it is the frame of
    the surface itself.
    """
    points_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
    start, along = _edge(surface, surface.reference)
    printed_mm = (points_mm[:, 0] - start[0]) / along[0]
    across_mm = np.empty(len(points_mm))
    beside = _part_beside(surface, printed_mm)
    for number in np.unique(beside):
        own = beside == number
        start, along = _edge(surface, int(number))
        away_mm = (points_mm[own, 0] - start[0]) / along[0]
        across_mm[own] = points_mm[own, 1] - start[1] - along[1] * away_mm
    zero_mm = surface.clock_zero_mm or 0.0
    return np.stack([(printed_mm - zero_mm) * metal_per_print(surface), across_mm], axis=1)


def _part_beside(surface: SolvedSurface, printed_mm: Floats) -> NDArray[np.intp]:
    """(N,) the solved part nearest to each place along the print; on plate always the first."""
    if surface.model.radius_mm is None:
        return np.full(printed_mm.size, surface.reference)
    numbers = np.array([surface.reference, *_others(surface)])
    parts = [surface.model.parts[number] for number in numbers]
    away = [np.abs(printed_mm - part.middle_mm[0]) - part.half_span_mm[0] for part in parts]
    return np.asarray(numbers[np.argmin(away, axis=0)], dtype=np.intp)


def _others(surface: SolvedSurface) -> list[int]:
    """Parts whose places against the first one's were solved."""
    places = [
        surface.model.part_slice(n).start + PLACE.start for n in range(len(surface.model.parts))
    ]
    return [n for n, place in enumerate(places) if place in surface.free]


def metal_per_print(surface: SolvedSurface) -> float:
    """Length on the bare metal under a true length of the wrapped print."""
    if surface.model.radius_mm is None:
        return 1.0
    radius_mm = surface.model.radius_of(surface.parameters)
    return radius_mm / (radius_mm + 0.5 * surface.paper_mm[0])


def seen_parts(surface: SolvedSurface) -> tuple[SeenPart, ...]:
    """Every part whose place was solved, the one that gives the frame first."""
    model, reference = surface.model, surface.reference
    found = [SeenPart(key=surface.part_keys[reference], shift_mm=0.0, u_shift_mm=0.0)]
    for number in _others(surface):
        at_edge = np.array([[model.parts[number].middle_mm[0], 0.0]])

        def apart_mm(parameters: Floats, at_edge: Floats = at_edge, number: int = number) -> Floats:
            here = model.laid(parameters, at_edge, np.array([number]))
            return np.asarray(
                (here - model.laid(parameters, at_edge, np.array([reference])))[0, :1]
            )

        shift_mm, pull = numeric_jacobian(apart_mm, surface.parameters, surface.free)
        covariance = surface.covariance[np.ix_(surface.free, surface.free)]
        variance = float((pull @ covariance @ pull.T)[0, 0])
        found.append(
            SeenPart(
                key=surface.part_keys[number],
                shift_mm=float(shift_mm[0]),
                u_shift_mm=float(np.sqrt(max(variance, 0.0))),
            )
        )
    return tuple(found)


def diameter_alone_mm(surface: SolvedSurface) -> tuple[float, float] | None:
    """Diameter under the strip, and its standard uncertainty, by the markers alone; None on plate.

    What was entered is taken out again; the print scale is as it was taken to be.
    """
    if surface.model.radius_mm is None:
        return None
    u_before = u_radius(surface.model, surface.scale.u_ratio / surface.scale.ratio)
    shift, u_shift = by_photo_alone(surface, RADIUS, u_before)
    entered_mm = 2.0 * abs(surface.model.radius_mm)
    return entered_mm * float(np.exp(shift)), entered_mm * u_shift


def _edge(surface: SolvedSurface, part: int) -> tuple[Floats, Floats]:
    """(2,) where the target's edge y = 0 starts on the surface, and (2,) how it runs per mm."""
    ends_mm = np.array([[0.0, 0.0], [ALONG_MM, 0.0]])
    laid = surface.model.laid(surface.parameters, ends_mm, np.full(2, part, dtype=np.intp))[:, :2]
    return laid[0], (laid[1] - laid[0]) / ALONG_MM
