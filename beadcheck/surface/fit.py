"""Least squares on edge residuals with prior knowledge, robust to stray samples."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.edge_rest import step_of
from beadcheck.surface.prior import Prior

Floats = NDArray[np.float64]

MOST_ROUNDS: Final = 25
CUT_IN_MADS: Final = 4.0
SMALLEST_CUT_PX: Final = 0.15
SMALL: Final = 1e-3
"""A step of less than this part of the uncertainty, or of chi squared, changes nothing."""


class Rest(Protocol):
    """What a fit makes small: how far N samples lie from where the parameters put them, in px."""

    def __call__(self, parameters: Floats, /) -> Floats:
        """(N,) distances."""

    def derivatives(self, parameters: Floats, places: NDArray[np.intp], /) -> tuple[Floats, Floats]:
        """(N,) distances, and (N, len(places)) derivatives by some of the parameters."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """Solved parameters.

    Attributes
    ----------
    parameters, covariance
        (P,) and (P, P); fixed parameters have zero rows.
    rest_px
        (N,) distance of each sample from the fitted edge, along its normal.
    kept
        (N,) bool: the samples that count.
    pattern_px
        Root mean square of `rest_px` beyond what the scatter of the samples explains.
    """

    parameters: Floats
    covariance: Floats
    rest_px: Floats
    kept: NDArray[np.bool_]
    pattern_px: float


def numeric_jacobian(
    function: Callable[[Floats], Floats], parameters: Floats, places: NDArray[np.intp]
) -> tuple[Floats, Floats]:
    """Value and forward differences of a vector function: (M,) and (M, len(places))."""
    value = function(parameters)
    jacobian = np.empty((value.size, places.size))
    for column, place in enumerate(places):
        moved, step = parameters.copy(), step_of(int(place))
        moved[place] += step
        jacobian[:, column] = (function(moved) - value) / step
    return value, jacobian


def solved(rest: Rest, u_px: Floats, prior: Prior, start: Floats) -> Fit:
    """Levenberg-Marquardt, once on all samples with a bounded pull, then without the stray ones.

    The covariance takes the pattern that is left along the sides for what it is: shared by all
    samples of a side, so that more samples do not make it smaller.
    """
    everything = np.ones(len(u_px), dtype=np.bool_)
    parameters = _minimum(rest, u_px, everything, prior, start, bounded=True)
    for _ in range(2):
        rest_px = rest(parameters)
        middle = np.median(rest_px)
        spread = 1.4826 * np.median(np.abs(rest_px - middle))
        kept = np.abs(rest_px) <= max(CUT_IN_MADS * spread, SMALLEST_CUT_PX)
        parameters = _minimum(rest, u_px, kept, prior, parameters, bounded=False)
    return _with_covariance(rest, u_px, prior, parameters, kept)


def _minimum(
    rest: Rest,
    u_px: Floats,
    kept: NDArray[np.bool_],
    prior: Prior,
    start: Floats,
    *,
    bounded: bool,
) -> Floats:
    free, known = prior.free, prior.information
    parameters, damping = start.copy(), 1e-4
    for _ in range(MOST_ROUNDS):
        value, jacobian = rest.derivatives(parameters, free)
        weight = _weights(value, u_px, kept, bounded=bounded)
        matrix = (jacobian * weight[:, None]).T @ jacobian
        matrix[np.diag_indices_from(matrix)] += known
        pull = -(jacobian.T @ (weight * value)) - known * parameters[free]
        cost = float(weight @ value**2 + known @ parameters[free] ** 2)
        while True:
            scaled = matrix + damping * np.diag(np.diag(matrix))
            step = np.linalg.solve(scaled, pull)
            trial = parameters.copy()
            trial[free] += step
            trial_value = rest(trial)
            trial_cost = float(weight @ trial_value**2 + known @ trial[free] ** 2)
            if trial_cost <= cost or damping > 1e8:
                break
            damping *= 10.0
        parameters, damping = trial, max(damping * 0.1, 1e-12)
        if float(step @ matrix @ step) < SMALL**2 * free.size or cost - trial_cost < SMALL:
            break
    return parameters


def _weights(rest_px: Floats, u_px: Floats, kept: NDArray[np.bool_], *, bounded: bool) -> Floats:
    weight = kept / u_px**2
    if bounded:
        # Cauchy's weights: a misread marker pulls less the farther it is off.
        spread = max(1.4826 * float(np.median(np.abs(rest_px))), SMALLEST_CUT_PX)
        weight = weight / (1.0 + (rest_px / (2.0 * spread)) ** 2)
    return np.asarray(weight, dtype=np.float64)


def _with_covariance(
    rest: Rest,
    u_px: Floats,
    prior: Prior,
    parameters: Floats,
    kept: NDArray[np.bool_],
) -> Fit:
    free = prior.free
    value, jacobian = rest.derivatives(parameters, free)
    weight = kept / u_px**2
    matrix = (jacobian * weight[:, None]).T @ jacobian
    known = np.diag(prior.information)
    solved_count = float(np.trace(np.linalg.solve(matrix + known, matrix)))
    chi2 = float(weight @ value**2)
    spare = max(kept.sum() - solved_count, 0.25 * kept.sum())
    excess = max(1.0, chi2 / spare)
    covariance = np.zeros((parameters.size, parameters.size))
    covariance[np.ix_(free, free)] = np.linalg.inv(matrix / excess + known)
    pattern2 = float((kept * (value**2 - u_px**2)).sum()) / spare
    return Fit(
        parameters=parameters,
        covariance=covariance,
        rest_px=value,
        kept=kept,
        pattern_px=float(np.sqrt(max(pattern2, 0.0))),
    )
