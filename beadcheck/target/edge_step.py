"""Steps from dark to light, fitted across an edge: error functions in linear light."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
"""A sample's noise is thousands of times what single precision loses, and it is twice as fast."""

SAMPLES_PER_PROFILE: Final = 29
FIT_ROUNDS: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeProfiles:
    """S sides of K profiles of T samples; positions are px along the outward normal."""

    light: Singles
    at_px: Singles
    inside: NDArray[np.bool_]
    clipped: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StepFit:
    """Centre, levels and misfit of each profile, (S, K), and the blur of each side, (S,)."""

    centre_px: Floats
    dark: Floats
    bright: Floats
    misfit: Floats
    blur_px: Floats


def fitted_steps(profiles: EdgeProfiles, blur_px: Floats) -> StepFit:
    """Gauss-Newton on centre and shared blur, with both levels eliminated (variable projection)."""
    light, at_px = profiles.light, profiles.at_px[:, None, :]
    reach_px = profiles.at_px[:, -1]
    fifth = SAMPLES_PER_PROFILE // 5
    dark, bright = light[..., :fifth].mean(axis=2), light[..., -fifth:].mean(axis=2)
    rise = np.where(bright - dark > 1e-3, bright - dark, 1e-3)
    # Area under the normalised step: exact for any symmetric blur.
    area = ((light - dark[..., None]) / rise[..., None]).mean(axis=2)
    centre = np.clip((1.0 - 2.0 * area), -0.8, 0.8) * reach_px[:, None]
    blur = blur_px.astype(np.float32)
    for _ in range(FIT_ROUNDS):
        z = (at_px - centre[..., None]) / blur[:, None, None]
        levels = _Levels.of(ndtr(z), light)
        bell = np.exp(-0.5 * z * z)
        # How the step changes as its centre moves, and as its blur grows.
        height = (levels.dark - levels.bright) / math.sqrt(2.0 * math.pi) / blur[:, None]
        move, weight = levels.newton(bell, height)
        limit = 0.7 * blur[:, None]
        centre += np.clip(move / np.maximum(weight, 1e-12), -limit, limit)
        centre = np.clip(centre, -reach_px[:, None], reach_px[:, None])
        move, weight = levels.newton(bell * z, height)
        widening = move.sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-12)
        blur = np.clip(blur + np.clip(widening, -0.4 * blur, 0.4 * blur), 0.3, 0.7 * reach_px)
    return StepFit(
        centre_px=centre.astype(np.float64),
        dark=levels.dark.astype(np.float64),
        bright=levels.bright.astype(np.float64),
        misfit=levels.misfit.astype(np.float64),
        blur_px=blur.astype(np.float64),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Levels:
    """Dark and bright level of each profile, by least squares on a step from 0 to 1.

    `up` (the step) and `light` are (S, K, T), all else (S, K): sums of products tell all that the
    fit needs, and much faster than subtracting the levels from each sample.
    """

    up: Singles
    light: Singles
    sum_up: Singles
    square_up: Singles
    determinant: Singles
    dark: Singles
    bright: Singles

    @classmethod
    def of(cls, up: Singles, light: Singles) -> "_Levels":
        """Fit both levels of each profile."""
        sum_up, square_up = up.sum(axis=2), _dot(up, up)
        determinant = np.maximum(SAMPLES_PER_PROFILE * square_up - sum_up * sum_up, 1e-12)
        sum_light, with_up = light.sum(axis=2), _dot(light, up)
        rise = (SAMPLES_PER_PROFILE * with_up - sum_up * sum_light) / determinant
        dark = (sum_light - rise * sum_up) / SAMPLES_PER_PROFILE
        return cls(
            up=up,
            light=light,
            sum_up=sum_up,
            square_up=square_up,
            determinant=determinant,
            dark=dark,
            bright=dark + rise,
        )

    @property
    def misfit(self) -> Singles:
        """Root mean square of what the levels leave."""
        rise = self.bright - self.dark
        rest = self.light - self.dark[..., None] - rise[..., None] * self.up
        return np.sqrt(_dot(rest, rest) / SAMPLES_PER_PROFILE)

    def newton(self, slope: Singles, height: Singles) -> tuple[Singles, Singles]:
        """Right side and weight of one parameter's normal equation.

        `height * slope` is the profile's change with the parameter, (S, K) by (S, K, T). Of it
        only what the levels cannot take up counts.
        """
        total, with_up = slope.sum(axis=2), _dot(slope, self.up)
        rise = (SAMPLES_PER_PROFILE * with_up - self.sum_up * total) / self.determinant
        base = (total - rise * self.sum_up) / SAMPLES_PER_PROFILE
        weight = _dot(slope, slope) - base * total - rise * with_up
        # The rest of the light is square to what the levels take up, so the slope itself will do.
        step = self.bright - self.dark
        right = _dot(slope, self.light) - self.dark * total - step * with_up
        return height * right, height * height * weight


def _dot(one: Singles, other: Singles) -> Singles:
    return np.asarray(np.einsum("skt,skt->sk", one, other), dtype=np.float32)
