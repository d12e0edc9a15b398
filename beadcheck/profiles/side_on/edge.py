"""The outline to a fraction of a pixel: blurred steps fitted across it, in linear light."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import (
    gaussian_filter1d,
    maximum_filter1d,
    median_filter,
    minimum_filter1d,
)

from beadcheck.photo import Photo
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.profiles.side_on.linear_part import LinearPart
from beadcheck.profiles.side_on.step_fit import (
    CONTRAST_PX,
    NEIGHBOURS,
    PITCH_PX,
    SAMPLE_PX,
    fitted_steps,
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

REACH_PX: Final = (5.0, 14.0)
"""Half length of a section across the outline: three to four blurs, within these."""
TANGENT_PX: Final = 4.0
"""Standard deviation over which the outline's direction is judged."""
LEAST_MEAN_PX, MOST_MEAN_PX = 1.5, 5.0
"""Standard deviations over which neighbouring sections are averaged along the outline: ..."""
WANTED_U_PX: Final = 0.2
"""... as far as noise asks for, to bring the usual point's uncertainty down to this."""
SHRINKAGE: Final = 0.2
"""Share of the whole outline's spread of colours in that of each window."""
PLAIN_SHARE: Final = 0.15
"""Of the contrast, taken for noise of every colour: where there is plenty of it, a mixture that
rests on small differences of colours gains nothing, and lenses and compression displace colours."""
LEAST_SPREAD: Final = 2e-3
"""Of full white: what rounding and compression do to every pixel."""
ROUNDS: Final = ((3, 1e-5), (3, 1e-5), (4, 0.01))
"""Of the fit, each time that sections are laid anew across the outline, and how
much light may slope on the metal, over the step and per px: to begin with not at all, so that a
groove's walls are not taken for such a slope."""
STRAY_MM: Final = 0.04
STRAY_IN_MADS: Final = 6.0
STRAY_NEIGHBOURS, STRAY_LEAD = 15, 3
"""Farther than both from the median of so many neighbours no real outline turns, nor from where as
many on one side lead."""
BESIDE_MM, MOST_OFF_MM = 0.4, 0.35
"""From all that the trace spans so far to both sides: it rounds what is sharp, but is no farther
off where there is an outline to be traced."""
LEAST_U_PX: Final = 0.05
"""What demosaicing, sharpening and a pixel's own response do to every edge (an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OutlineEdge:
    """N points of the outline, in order along it.

    Attributes
    ----------
    points_px
        (N, 2) where the step from pipe to background is.
    u_px
        (N,) standard uncertainty of each along its normal; NaN where there is no clean step.
    along_mm, height_mm
        (N,) the places along the pipe and heights over it that the points stand for.
    blur_px
        Standard deviation of the blur of the step.
    mean_px
        Standard deviation of the window along the outline that each point is averaged over.
    """

    points_px: Floats
    u_px: Floats
    along_mm: Floats
    height_mm: Floats
    blur_px: float
    mean_px: float

    @property
    def sure(self) -> Flags:
        """Which points show a clean step."""
        return np.isfinite(self.u_px)

    def seen_by(self, view: LimbView) -> "OutlineEdge":
        """The same pixels, taken for the places that another view has there."""
        places = view.sighted(self.points_px)
        return replace(self, along_mm=places.touching_mm[:, 1], height_mm=places.height_mm)

    def without(self, covered: Flags) -> "OutlineEdge":
        """The same points, some of which count as not seen."""
        return replace(self, u_px=np.where(covered, np.nan, self.u_px))


def outline_edge(
    photo: Photo, view: LimbView, along_mm: Floats, height_mm: Floats, *, blur_px: float
) -> OutlineEdge:
    """Refine a traced outline.

    Parameters
    ----------
    along_mm, height_mm
        (W,) the trace, in order.
    blur_px
        Rough standard deviation of the photo's blur.
    """
    path_px = view.pixels(along_mm, height_mm)
    outward = np.diff(view.pixels(np.full(2, along_mm.mean()), np.array([0.0, 1.0])), axis=0)[0]
    light = LinearPart.about(photo, path_px, 2.0 * REACH_PX[1])
    mean_px = LEAST_MEAN_PX
    for rounds, steepest in ROUNDS:
        feet, normals = _stations(path_px, outward)
        sections = _sections(light, feet, normals, blur_px)
        fit = fitted_steps(
            sections.light, sections.at_px, mean_px=mean_px, blur_px=blur_px, rounds=rounds,
            steepest=steepest,
        )  # fmt: skip
        wanted_px = mean_px * (float(np.median(fit.u_px)) / WANTED_U_PX) ** 2
        mean_px = float(np.clip(wanted_px, LEAST_MEAN_PX, MOST_MEAN_PX))
        path_px = feet + np.where(fit.likely, fit.centre_px, 0.0)[:, None] * normals
        blur_px = fit.blur_px
    places = view.sighted(path_px)
    seen_mm, seen_along_mm = places.height_mm, places.touching_mm[:, 1]
    clean = fit.clean & ~_stray(seen_mm) & _near_trace(seen_along_mm, seen_mm, along_mm, height_mm)
    return OutlineEdge(
        points_px=path_px,
        u_px=np.where(clean, np.hypot(fit.u_px, LEAST_U_PX), np.nan),
        along_mm=seen_along_mm,
        height_mm=seen_mm,
        blur_px=blur_px,
        mean_px=fit.mean_px,
    )


def _near_trace(
    seen_along_mm: Floats, seen_mm: Floats, along_mm: Floats, height_mm: Floats
) -> Flags:
    """(N,) which seen points lie near what a trace spans beside them."""
    reach = 2 * round(BESIDE_MM / abs(float(along_mm[1] - along_mm[0]))) + 1
    order = np.argsort(along_mm)
    low_mm, high_mm = (
        np.interp(seen_along_mm, along_mm[order], span(height_mm, reach)[order])
        for span in (minimum_filter1d, maximum_filter1d)
    )
    near = (seen_mm > low_mm - MOST_OFF_MM) & (seen_mm < high_mm + MOST_OFF_MM)
    return np.asarray(near)


def _stray(height_mm: Floats) -> Flags:
    """(N,) which points leave the outline that their neighbours make."""
    off_mm = np.abs(height_mm - median_filter(height_mm, STRAY_NEIGHBOURS))
    usual_mm = 1.4826 * median_filter(off_mm, NEIGHBOURS)
    # The bottom of a groove lies where the flank before it, or the one after, leads to.
    smooth_mm = median_filter(height_mm, STRAY_LEAD)
    for lead in (STRAY_LEAD, -STRAY_LEAD):
        led_mm = 2.0 * np.roll(smooth_mm, lead) - np.roll(smooth_mm, 2 * lead)
        off_mm = np.minimum(off_mm, np.abs(height_mm - led_mm))
    return np.asarray(off_mm > np.maximum(STRAY_IN_MADS * usual_mm, STRAY_MM))


def _stations(path_px: Floats, outward: Floats) -> tuple[Floats, Floats]:
    """(N, 2) points `PITCH_PX` apart along a path, and unit normals there, outwards."""
    step_px = np.hypot(*np.diff(path_px, axis=0).T)
    run_px = np.concatenate([[0.0], np.cumsum(step_px)])
    at_px = np.arange(0.0, run_px[-1], PITCH_PX)
    feet = np.stack([np.interp(at_px, run_px, axis) for axis in path_px.T], axis=1)
    tangent = np.gradient(gaussian_filter1d(feet, TANGENT_PX / PITCH_PX, axis=0), axis=0)
    tangent /= np.maximum(np.hypot(*tangent.T), 1e-9)[:, None]
    normals = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    return feet, normals if float((normals @ outward).sum()) > 0.0 else -normals


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sections:
    """N sections of T samples across the outline, dark to bright or bright to dark outwards.

    `light` is (N, T) in that mixture of colours in which pipe and background differ most, so that
    it rises outwards.
    """

    light: Floats
    at_px: Floats


def _sections(light: LinearPart, feet: Floats, normals: Floats, blur_px: float) -> _Sections:
    reach_px = float(np.clip(3.5 * blur_px + 2.0, *REACH_PX))
    at_px = np.arange(-reach_px, reach_px + 0.5 * SAMPLE_PX, SAMPLE_PX)
    colours = light.at(feet[:, None] + at_px[None, :, None] * normals[:, None])
    weights = _telling_mixture(colours)
    return _Sections(light=(colours @ weights[:, :, None])[..., 0], at_px=at_px)


def _telling_mixture(colours: Floats) -> Floats:
    """(N, 3) weights of colours in which both sides differ most against their own spread.

    This is Fisher's discriminant, in windows along the outline; it rises outwards.
    """
    part = colours.shape[1] // 4
    ends = np.stack([colours[:, :part], colours[:, -part:]])
    means = gaussian_filter1d(ends.mean(axis=2), CONTRAST_PX / PITCH_PX, axis=1)
    contrast = means[1] - means[0]
    off = ends - means[:, :, None]
    products = (off.swapaxes(2, 3) @ off).sum(axis=0) / (2.0 * part)
    spread = gaussian_filter1d(products, CONTRAST_PX / PITCH_PX, axis=0)
    calm = LEAST_SPREAD**2 + (PLAIN_SHARE**2) * (contrast**2).sum(axis=1)
    spread += SHRINKAGE * products.mean(axis=0) + calm[:, None, None] * np.eye(3)
    weights = np.linalg.solve(spread, contrast[..., None])[..., 0]
    return np.asarray(weights / np.maximum(np.abs(weights).sum(axis=1, keepdims=True), 1e-12))
