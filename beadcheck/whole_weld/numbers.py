"""Widths, evenness and ripples over all or part of the whole weld, as quantities."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.measurements.over_stations import over_stations
from beadcheck.measurements.ripple_spacing import MIDWAY, SMOOTHED
from beadcheck.measurements.width import deflated_spread, extreme_effects
from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Side, Statistic
from beadcheck.toes.stations import CORRELATION_MM
from beadcheck.units import Unit
from beadcheck.whole_weld.crests import WholeCrests
from beadcheck.whole_weld.merge import Line, Placed
from beadcheck.whole_weld.view import Floats

Mask = NDArray[np.bool_]

PRINT_SOURCES: Final = frozenset({"print scale of the target"})
CLOSED_SCALE: Final = "print scale, as the strip's turn tells it"
FEWEST_STATIONS: Final = 5
FEWEST_GAPS: Final = 3
WINDOW_MM: Final = 25.0
"""Toe waviness is told about a line over this length, as in one photo."""
WINDOW_SEEN: Final = 0.8
U_CREST_SPACINGS: Final = 0.1
"""Of one crest where its photo says nothing of it (an estimate)."""
PICKED: Final = "picking of two crests"
MISSED: Final = "missed or doubled crests"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """The whole weld as the photos show it together.

    Attributes
    ----------
    u_scale_ratio
        Relative standard uncertainty of scale that is left after closing.
    """

    placed: tuple[Placed, ...]
    line: Line
    crests: WholeCrests
    u_scale_ratio: float


def width_quantities(shown: Shown, where: Mask) -> tuple[Quantity, ...]:
    """Mean, spread, least and greatest width over the places `where`; empty where few are seen."""
    line = shown.line
    used = where & line.seen
    if np.count_nonzero(used) < FEWEST_STATIONS:
        return ()
    widths, own_u = line.width_mm[used], line.own_u_mm[used]
    noise = float(np.sqrt(np.mean(own_u**2)))
    independent = max(1.0, widths.size * line.step_mm / CORRELATION_MM)
    spread = float(widths.std(ddof=1))
    unseen = 1.0 - float(used.sum() / max(1, int(where.sum())))
    mean_budget = (
        _component("toe localisation", noise / math.sqrt(independent), Scope.STATION),
        _component(
            "stretches that no photo shows",
            spread * math.sqrt(unseen / independent),
            Scope.STATION,
        ),
        *_shared(shown, used, QuantityName.WELD_WIDTH, float(widths.mean())),
    )
    sd, sd_budget = deflated_spread(spread, noise, independent)
    found = [
        _width(shown, used, Statistic.MEAN, float(widths.mean()), mean_budget),
        _width(
            shown,
            used,
            Statistic.SD,
            sd,
            (*sd_budget, _component(CLOSED_SCALE, sd * shown.u_scale_ratio, Scope.PRINT)),
        ),
    ]
    for statistic, at in ((Statistic.MIN, widths.argmin()), (Statistic.MAX, widths.argmax())):
        extreme = (
            *extreme_effects(float(own_u[at]), noise, spread),
            *_shared(shown, used, QuantityName.WELD_WIDTH, float(widths[at])),
        )
        found.append(_width(shown, used, statistic, float(widths[at]), extreme))
    return tuple(found)


def _width(
    shown: Shown, used: Mask, statistic: Statistic, value: float, budget: Sequence[Component]
) -> Quantity:
    return over_stations(
        QuantityName.WELD_WIDTH,
        statistic,
        value_mm=value,
        s_mm=shown.line.arc_mm[used],
        budget=tuple(budget),
    )


def _shared(
    shown: Shown, used: Mask, name: QuantityName, value: float, *, without: str = ""
) -> tuple[Component, ...]:
    """Return what all readings share, from the photos' own budgets, each as it has part in them.

    One camera took them in one light: what a photo's readings share does not average out over
    photos. The print's scale is the one that is left after closing.
    """
    best = shown.line.best[used]
    totals: dict[tuple[str, Scope], float] = defaultdict(float)
    for number, each in enumerate(shown.placed):
        quantity = each.view.quantity(name, Statistic.MEAN)
        part = float(np.mean(best == number))
        if quantity is None or part == 0.0:
            continue
        for c in quantity.budget:
            if c.scope is not Scope.STATION and c.source not in (*PRINT_SOURCES, without):
                totals[c.source, c.scope] += part * c.standard_uncertainty
    return (
        *(_component(source, u, scope) for (source, scope), u in totals.items()),
        _component(CLOSED_SCALE, abs(value) * shown.u_scale_ratio, Scope.PRINT),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Waves:
    """Variance of each toe about its own line in the window that starts at each of N places.

    NaN where the window is not seen well enough.
    """

    left: Floats
    right: Floats
    span: int


def waves_of(line: Line) -> Waves:
    """Look at both toes through every window of 25 mm."""
    span = round(WINDOW_MM / line.step_mm) + 1
    variances = []
    for toe in (line.left_mm, line.right_mm):
        padded = np.concatenate(
            [toe, toe[: span - 1] if line.closed else np.full(span - 1, np.nan)]
        )
        windows = np.lib.stride_tricks.sliding_window_view(padded, span)
        variances.append(_about_lines(windows, line.step_mm))
    return Waves(left=variances[0], right=variances[1], span=span)


def _about_lines(windows: Floats, step_mm: float) -> Floats:
    """(N,) variance of each row about its own best line, unseen places left out."""
    at_mm = step_mm * np.arange(windows.shape[1])
    seen = np.isfinite(windows)
    count = seen.sum(axis=1)
    enough = count >= WINDOW_SEEN * windows.shape[1]
    weight = seen / np.maximum(count, 1)[:, None]
    values = np.nan_to_num(windows)
    x_mean, y_mean = weight @ at_mm, (weight * values).sum(axis=1)
    x, y = at_mm - x_mean[:, None], values - y_mean[:, None]
    slope = (weight * x * y).sum(axis=1) / np.maximum((weight * x * x).sum(axis=1), 1e-9)
    rest2 = (seen * (y - slope[:, None] * x) ** 2).sum(axis=1)
    return np.where(enough, rest2 / np.maximum(count - 2, 1), np.nan)


def waviness_quantities(shown: Shown, waves: Waves, where: Mask) -> tuple[Quantity, ...]:
    """Waviness of each toe over the windows that lie in `where`."""
    line = shown.line
    padded = (
        np.concatenate([where, where[: waves.span - 1]])
        if line.closed
        else np.pad(where, (0, waves.span - 1))
    )
    inside = np.lib.stride_tricks.sliding_window_view(padded, waves.span).all(axis=1)
    found = []
    for side, variances in ((Side.LEFT, waves.left), (Side.RIGHT, waves.right)):
        known = inside & np.isfinite(variances)
        if not known.any():
            continue
        used = where & line.seen
        noise = float(np.sqrt(np.mean(line.own_u_mm[used] ** 2) / 2.0))
        independent = max(1.0, np.count_nonzero(used) * line.step_mm / CORRELATION_MM)
        value, budget = deflated_spread(float(np.sqrt(variances[known].mean())), noise, independent)
        found.append(
            over_stations(
                QuantityName.TOE_WAVINESS,
                Statistic.SD,
                value_mm=value,
                s_mm=line.arc_mm[used],
                budget=budget,
                side=side,
            )
        )
    return tuple(found)


def spacing_quantities(shown: Shown, from_mm: float, to_mm: float) -> tuple[Quantity, ...]:
    """Ripple spacing over the gaps whose middles lie between two places; empty where few do.

    `to_mm` may lie beyond the whole length, and `from_mm` below 0, where the line closes.
    """
    line, crests = shown.line, shown.crests
    at_mm = crests.gap_at_mm
    if line.closed:
        at_mm = np.mod(at_mm - from_mm, line.length_mm) + from_mm
    inside = (at_mm >= from_mm) & (at_mm < to_mm)
    gaps = crests.gaps_mm[inside]
    if gaps.size < FEWEST_GAPS:
        return ()
    mean, spread = float(gaps.mean()), float(gaps.std(ddof=1))
    cell = np.clip((crests.gap_at_mm[inside] / line.step_mm).astype(int), 0, line.best.size - 1)
    used = np.zeros(line.best.size, dtype=np.bool_)
    used[cell] = True
    u_crest, u_missed = _crest_doubts(shown, used, gaps.size, mean)
    lowest, highest = float(gaps.min()), float(gaps.max())
    whole = _shared(shown, used, QuantityName.RIPPLE_SPACING, mean, without=MISSED)
    own = {
        Statistic.MEAN: (
            mean,
            (
                _component("picking the first and last crest", u_crest / gaps.size, Scope.STATION),
                _component(MISSED, u_missed, Scope.PHOTO),
                *whole,
            ),
        ),
        Statistic.SD: (
            SMOOTHED * spread,
            (
                _component("picking of crests", u_crest / math.sqrt(gaps.size), Scope.STATION),
                _component("few ripples", spread / math.sqrt(2.0 * (gaps.size - 1)), Scope.STATION),
                _component("crests midway between grooves", MIDWAY * spread, Scope.DEFINITION),
            ),
        ),
    }
    for statistic, value in ((Statistic.MAX, highest), (Statistic.MIN, lowest)):
        own[statistic] = (
            value,
            (
                _component(PICKED, u_crest, Scope.STATION),
                _component(
                    "crests midway between grooves", MIDWAY * abs(value - mean), Scope.DEFINITION
                ),
                *whole,
            ),
        )
    at_mm = np.sort(at_mm[inside])
    return tuple(
        Quantity(
            name=QuantityName.RIPPLE_SPACING,
            statistic=statistic,
            value=value,
            unit=Unit.MM,
            count=int(gaps.size),
            budget=budget,
            s_range_mm=(float(at_mm[0]), float(at_mm[-1])),
        )
        for statistic, (value, budget) in own.items()
    )


def _crest_doubts(shown: Shown, used: Mask, count: int, mean: float) -> tuple[float, float]:
    """Standard uncertainties of a gap by picking its two crests, and of a mean by missed crests."""
    best = shown.line.best[used]
    picked, missed = 0.0, 0.0
    for number, each in enumerate(shown.placed):
        part = float(np.mean(best == number))
        if part == 0.0:
            continue
        longest = each.view.quantity(QuantityName.RIPPLE_SPACING, Statistic.MAX)
        average = each.view.quantity(QuantityName.RIPPLE_SPACING, Statistic.MEAN)
        if longest is None or average is None:
            picked += part * math.sqrt(2.0) * U_CREST_SPACINGS * mean
            continue
        picked += part * _of(longest, PICKED)
        missed += part * _of(average, MISSED) * math.sqrt(average.count / count)
    return picked, missed


def _of(quantity: Quantity, source: str) -> float:
    return math.hypot(*(c.standard_uncertainty for c in quantity.budget if c.source == source))


def _component(source: str, standard_uncertainty: float, scope: Scope) -> Component:
    return Component(source=source, standard_uncertainty=standard_uncertainty, scope=scope)
