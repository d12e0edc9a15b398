"""Blurred steps fitted to sections across the outline."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter
from scipy.special import ndtr

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Flags = NDArray[np.bool_]

PITCH_PX: Final = 1.0
SAMPLE_PX: Final = 0.5
CONTRAST_PX: Final = 15.0
"""Standard deviation over which it is judged in which colours pipe and background differ."""
BLUR_PX: Final = (0.5, 8.0)
MOST_MISFIT: Final = 0.3
"""Root mean square of what the step leaves, over its height: beyond is another picture."""
MOST_WIDER: Final = 1.0
"""By how much, relatively, an edge may be more blurred than the limb: what lies far behind is."""
WIDTH_PX: Final = 10.0
"""Standard deviation, along the outline, over which that is judged."""
MOST_U_PX: Final = 0.5
LEAST_SHARE_OF_RISE: Final = 0.35
MOST_CHANCE: Final = 1.0 / 8.0
"""Noise and texture of the background, over the step: where it is more, half of all steps found lie
a pixel off and more (renders)."""
U_BY_CHANCE_PX: Final = 4.0
"""Standard uncertainty by which noise moves a step, where it were as high as the step (renders)."""
APART_BLURS, APART_PX = 1.5, 1.0
MOST_OF_OTHER: Final = 0.15
"""Beyond so many blurs and pixels from a step, what another may explain of a section, over what the
step itself does: with more, either may be the outline."""
NEIGHBOURS: Final = 121
"""A step much fainter than is usual among so many neighbours is one of something behind."""
LEAST_RISE: Final = 2e-3
"""Of full white, in linear light: less is a fraction of a code value."""
FARTHEST_SHARE: Final = 0.9
"""Of a section's half length: from farther off no outline is led there."""
STEP, SHADING, SHIFT, BLUR, LIGHT = range(5)
"""Places among the shapes: the step, a slope of light on the metal's side, by what the step changes
with its centre and with its blur, and the light itself."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StepFit:
    """Centre, its uncertainty and whether the step is clean, of N sections; their common blur.

    `likely` tells where a step leads the outline, `clean` where that is sure to be the right one.
    `mean_px` is over how much of the outline neighbours were averaged.
    """

    centre_px: Floats
    u_px: Floats
    clean: Flags
    likely: Flags
    blur_px: float
    mean_px: float


def fitted_steps(
    light: Floats, at_px: Floats, *, mean_px: float, blur_px: float, rounds: int, steepest: float
) -> StepFit:
    """Gauss-Newton on each centre and the common blur; levels and shading are eliminated."""
    light = gaussian_filter1d(light, mean_px / PITCH_PX, axis=0)
    reach_px = float(at_px[-1])
    centre = np.zeros(len(light))
    doubt = np.zeros(len(light))
    shapes = np.empty((len(light), 5, at_px.size), dtype=np.float32)
    shapes[:, LIGHT] = light
    for _ in range(rounds):
        _set_shapes(shapes, ((at_px - centre[:, None]) / blur_px).astype(np.float32))
        products = (shapes @ shapes.transpose(0, 2, 1)).astype(np.float64)
        rise = products[:, STEP, LIGHT] / np.maximum(products[:, STEP, STEP], 1e-12)
        flat = _eliminated(products, STEP, 0.0)
        rest = _eliminated(flat, SHADING, doubt)
        steepness = -rise / blur_px
        weight = np.maximum(steepness**2 * rest[:, SHIFT, SHIFT], 1e-12)
        move = steepness * rest[:, SHIFT, LIGHT] / weight
        square = rest[:, LIGHT, LIGHT] / at_px.size
        shaded = flat[:, SHADING, LIGHT] / np.maximum(flat[:, SHADING, SHADING] + doubt, 1e-12)
        doubt = square / np.maximum(steepest * rise * blur_px, 1e-9) ** 2
        centre = np.clip(centre + np.clip(move, -blur_px, blur_px), -reach_px, reach_px)
        pull = steepness * rest[:, BLUR, LIGHT]
        weight_of_blur = steepness**2 * rest[:, BLUR, BLUR]
        # The usual edge's: shading on the metal makes many seem wider.
        wider = float(np.median(pull / np.maximum(weight_of_blur, 1e-12)))
        blur_px = float(np.clip(blur_px + np.clip(wider, -0.3, 0.3) * blur_px, *BLUR_PX))
    misfit = np.sqrt(np.maximum(square, 0.0))
    # Neighbouring samples of a section share pixels: only as many as there are pixels count.
    u_px = misfit / np.sqrt(weight * SAMPLE_PX)
    chance = _background_noise(light) / np.maximum(rise, 1e-12)
    smooth = gaussian_filter1d(np.stack([pull, weight_of_blur]), WIDTH_PX / PITCH_PX, axis=1)
    tilt = products[:, SHADING, STEP] / np.maximum(products[:, STEP, STEP], 1e-12)
    left = shapes[:, LIGHT] - (rise - shaded * tilt)[:, None] * shapes[:, STEP]
    left -= shaded[:, None] * shapes[:, SHADING]
    likely = (rise > LEAST_RISE) & (misfit < MOST_MISFIT * rise) & (u_px < MOST_U_PX)
    likely &= (chance < MOST_CHANCE) & (np.abs(centre) < FARTHEST_SHARE * reach_px)
    clean = (
        likely
        & (np.abs(centre) < 0.5 * reach_px)
        & (smooth[0] < MOST_WIDER * smooth[1])
        & (rise > LEAST_SHARE_OF_RISE * median_filter(rise, NEIGHBOURS))
        & _alone(shapes[:, LIGHT], left, at_px, centre, blur_px)
    )
    u_px = np.hypot(u_px, U_BY_CHANCE_PX * chance)
    return StepFit(
        centre_px=centre, u_px=u_px, clean=clean, likely=likely, blur_px=blur_px, mean_px=mean_px
    )


def _set_shapes(shapes: Singles, z: Singles) -> None:
    """Set (N, 5, T) shapes, but for the light, at T places in blurs; all without their means."""
    bell = np.exp(-0.5 * z * z) / np.float32(math.sqrt(2.0 * math.pi))
    beyond = ndtr(z)
    shapes[:, STEP] = beyond
    shapes[:, SHADING] = z * (1.0 - beyond) - bell
    shapes[:, SHIFT] = bell
    shapes[:, BLUR] = bell * z
    shapes -= shapes.mean(axis=2, keepdims=True)


def _eliminated(products: Floats, shape: int, doubt: Floats | float) -> Floats:
    """(N, 5, 5) inner products once one shape has taken its part of all.

    With a doubt of 0 all of it; else what a prior of 0 for its amount leaves it.
    """
    own = products[:, shape]
    square = products[:, shape, shape]
    whole = np.maximum(square + doubt, 1e-12)
    share = (2.0 - square / whole) / whole
    return np.asarray(products - share[:, None, None] * own[:, :, None] * own[:, None, :])


def _background_noise(light: Floats) -> Floats:
    """(N,) standard deviation of what the outermost quarter of sections shows, about a level."""
    outer = light[:, -(light.shape[1] // 4) :]
    return np.asarray(np.sqrt(gaussian_filter1d(outer.var(axis=1), CONTRAST_PX / PITCH_PX)))


def _alone(light: Singles, rest: Floats, at_px: Floats, centre_px: Floats, blur_px: float) -> Flags:
    """(N,) whether no other step in a section explains nearly as much of it."""
    places = np.arange(-float(at_px[-1]) + blur_px, float(at_px[-1]) - blur_px, SAMPLE_PX)
    z = (at_px - places[:, None]) / blur_px
    beyond = ndtr(z)
    bell = np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    shading = _centred(z * (1.0 - beyond) - bell)
    share = _dot(_centred(beyond), shading) / _dot(shading, shading)
    step = _centred(beyond) - share[:, None] * shading
    step /= np.sqrt(np.maximum(_dot(step, step), 1e-12))[:, None]
    apart = np.abs(places - centre_px[:, None])
    own = np.where(apart < SAMPLE_PX, np.maximum(light @ step.T, 0.0) ** 2, 0.0).max(axis=1)
    other = np.where(apart > APART_BLURS * blur_px + APART_PX, (rest @ step.T) ** 2, 0.0)
    return np.asarray(other.max(axis=1) < MOST_OF_OTHER * own)


def _centred(rows: Floats) -> Floats:
    return np.asarray(rows - rows.mean(axis=1, keepdims=True))


def _dot(one: Floats, other: Floats) -> Floats:
    return np.asarray(np.einsum("nt,nt->n", one, other), dtype=np.float64)
