"""Visible widths of the beads of a layer."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from beadcheck.measurements.layer.layer import BeadWidth, Floats, Valley
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.surface import Points
from beadcheck.toes import Toes
from beadcheck.units import Unit

CORRELATION_MM: Final = 8.0
"""Length along the weld over which the errors of a valley stay alike (rendered caps)."""
U_LINE_MM: Final = 0.15
"""Standard uncertainty of a valley's line as a whole: which side of the crease is lit (rendered
caps)."""
LEAST_SHARE: Final = 0.4
"""Part of the steady stations at which both edges must be clear for a mean."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Edge:
    """One edge of a bead: a toe or a valley, at N stations."""

    points_mm: Points
    u_mm: Floats
    shift_u_mm: Floats
    clear: np.ndarray
    shared: tuple[Component, ...]


def bead_widths(valleys: Sequence[Valley], toes: Toes) -> tuple[BeadWidth, ...]:
    """Widths of all beads, from the left; scale is not in the budgets yet.

    Parameters
    ----------
    valleys
        At the steady stations of `toes`, from the left.
    """
    edges = [_toe(toes, left=True), *map(_valley, valleys), _toe(toes, left=False)]
    s_mm = toes.s_mm[toes.steady]
    return tuple(_bead(a, b, s_mm) for a, b in pairwise(edges))


def _toe(toes: Toes, *, left: bool) -> _Edge:
    steady, shared = toes.steady, toes.shared
    points, u_mm, hand_u_mm = (
        (toes.left_mm, toes.u_left_mm, toes.hand_u_left_mm)
        if left
        else (toes.right_mm, toes.u_right_mm, toes.hand_u_right_mm)
    )
    return _Edge(
        points_mm=points[steady],
        u_mm=np.hypot(u_mm, hand_u_mm)[steady],
        shift_u_mm=np.zeros(int(steady.sum())),
        clear=toes.sure[steady],
        shared=(
            _component("weld finder, mean error in this light", shared.finder_width_mm),
            _component("unknown tone curve of the camera", shared.tone_curve_mm),
            _component("definition of the toe", shared.definition_mm, Scope.DEFINITION),
        ),
    )


def _valley(valley: Valley) -> _Edge:
    return _Edge(
        points_mm=valley.under_mm,
        u_mm=valley.u_mm,
        shift_u_mm=valley.shift_u_mm,
        clear=valley.clear,
        shared=(_component("line of the valley", U_LINE_MM),),
    )


def _bead(left: _Edge, right: _Edge, s_mm: Floats) -> BeadWidth:
    width_mm = np.hypot(*(right.points_mm - left.points_mm).T)
    own_u = np.hypot(left.u_mm, right.u_mm)
    shift_u = np.abs(right.shift_u_mm - left.shift_u_mm)
    used = left.clear & right.clear
    shared = (*left.shared, *right.shared)
    shared_u = math.hypot(*(each.standard_uncertainty for each in shared))
    quantities: tuple[Quantity, ...] = ()
    if used.sum() >= max(2, LEAST_SHARE * used.size):
        quantities = _quantities(width_mm, own_u, shift_u, used, s_mm, shared)
    return BeadWidth(
        width_mm=width_mm,
        u_mm=np.sqrt(own_u**2 + shift_u**2 + shared_u**2),
        used=used,
        quantities=quantities,
    )


def _quantities(
    width_mm: Floats,
    own_u: Floats,
    shift_u: Floats,
    used: np.ndarray,
    s_mm: Floats,
    shared: tuple[Component, ...],
) -> tuple[Quantity, ...]:
    """Mean, least and greatest width over the stations used."""
    widths, own, places = width_mm[used], own_u[used], s_mm[used]
    step_mm = float(np.median(np.diff(s_mm)))
    independent = max(1.0, used.sum() * step_mm / CORRELATION_MM)
    left_out = 1.0 - used.sum() / used.size
    noise, spread = float(np.sqrt(np.mean(own**2))), float(widths.std())
    statistics = (
        (
            Statistic.MEAN,
            float(widths.mean()),
            noise / math.sqrt(independent),
            shift_u[used].mean(),
        ),
        *(
            (statistic, float(widths[at]), float(own[at]), shift_u[used][at])
            for statistic, at in (
                (Statistic.MIN, int(widths.argmin())),
                (Statistic.MAX, int(widths.argmax())),
            )
        ),
    )
    return tuple(
        Quantity(
            name=QuantityName.BEAD_WIDTH,
            statistic=statistic,
            value=value,
            unit=Unit.MM,
            count=int(used.sum()),
            budget=(
                _component("place of the edges", own_part, Scope.STATION),
                _component("height of the valleys, not known", float(shift)),
                *(
                    (
                        _component(
                            "stations at which an edge is not seen",
                            spread * math.sqrt(left_out / independent),
                            Scope.STATION,
                        ),
                    )
                    if statistic is Statistic.MEAN
                    else ()
                ),
                *shared,
            ),
            s_range_mm=(float(places[0]), float(places[-1])),
        )
        for statistic, value, own_part, shift in statistics
    )


def _component(source: str, standard_uncertainty: float, scope: Scope = Scope.PHOTO) -> Component:
    return Component(source=source, standard_uncertainty=standard_uncertainty, scope=scope)
