"""Marker edges to sub-pixel: error functions fitted across each side, in linear light."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo, linear_grey
from beadcheck.target.edge_step import SAMPLES_PER_PROFILE, EdgeProfiles, StepFit, fitted_steps

Floats = NDArray[np.float64]

MOST_PROFILES: Final = 48
ROUGH_PROFILES: Final = 16
"""The first pass only has to come near: it places a side to far less than the second reaches."""
FEWEST_PROFILES: Final = 8
PROFILE_PITCH_PX: Final = 2.0
"""Profiles nearer than this see the same pixels and tell nothing new."""
SIDE_MARGIN: Final = 0.08
"""Part of a side left out at each end, where the other side's blur reaches."""
CLIPPED_CODE: Final = 253
"""A channel counts as clipped from here; JPEG leaves a clipped white a little below 255."""
MOST_CLIPPED_SHARE: Final = 0.5
"""Fewer clipped profiles than this are dropped; more are taken up by the edge shift."""
FEWEST_SIDE_SHARE: Final = 0.4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sides:
    """Edge samples on the sides of M markers, K profiles a side.

    Attributes
    ----------
    points_px
        (M, 4, K, 2) where the edge crosses each profile.
    normals_px
        (M, 4, 2) unit normals, out of the marker.
    valid
        (M, 4, K) bool: the profile shows a clean edge.
    scatter_px
        (M, 4) standard deviation of the samples about a smooth side.
    blur_px
        (M, 4) standard deviation of the blur, shared by one side's profiles.
    corners_px
        (M, 4, 2) where neighbouring sides meet.
    clipped
        (M, 4, K) bool: the light side of the profile is clipped.
    """

    points_px: Floats
    normals_px: Floats
    valid: NDArray[np.bool_]
    scatter_px: Floats
    blur_px: Floats
    corners_px: Floats
    clipped: NDArray[np.bool_]


def refined_sides(photo: Photo, corners_px: Floats, module_px: Floats) -> Sides:
    """Fit the sides of M markers from rough corners.

    A first, wide pass removes the detector's bias; the second samples close about the edge.

    Parameters
    ----------
    corners_px
        (M, 4, 2) rough corners, good to a third of a module.
    module_px
        (M,) width of one module; a profile must not reach past the border's black.
    """
    wide_px = np.clip(0.9 * module_px, 3.0, 14.0)
    rough = _fitted_sides(photo, corners_px, wide_px, blur_px=0.2 * wide_px, most=ROUGH_PROFILES)
    blur_px = np.median(rough.blur_px, axis=1)
    close_px = np.minimum(np.clip(3.5 * blur_px + 2.0, 5.0, 20.0), 0.9 * module_px)
    return _fitted_sides(photo, rough.corners_px, close_px, blur_px=blur_px, most=MOST_PROFILES)


def _fitted_sides(
    photo: Photo, corners_px: Floats, reach_px: Floats, *, blur_px: Floats, most: int
) -> Sides:
    markers = corners_px.shape[0]
    start = corners_px.reshape(-1, 2)
    run = np.roll(corners_px, -1, axis=1).reshape(-1, 2) - start
    length_px = np.hypot(*run.T)
    normals = np.stack([run[:, 1], -run[:, 0]], axis=1) / length_px[:, None]
    count = int(np.clip(np.median(length_px) / PROFILE_PITCH_PX, FEWEST_PROFILES, most))
    share = np.linspace(SIDE_MARGIN, 1.0 - SIDE_MARGIN, count)
    feet = start[:, None] + share[:, None] * run[:, None]
    profiles = _profiles(photo, feet, normals, np.repeat(reach_px, 4))
    fit = fitted_steps(profiles, np.repeat(blur_px, 4))
    clean = _clean(profiles, fit)
    scatter_px, on_line, line = _smooth_sides(share, fit.centre_px, clean)
    points = feet + fit.centre_px[..., None] * normals[:, None]
    ends = np.stack([line[:, 0], line.sum(axis=1)], axis=1)[..., None] * normals[:, None]
    ends += np.stack([start, start + run], axis=1)
    usable = on_line.mean(axis=1) >= FEWEST_SIDE_SHARE
    corners = _meeting_points(
        ends.reshape(markers, 4, 2, 2), usable.reshape(markers, 4), corners_px
    )
    return Sides(
        points_px=points.reshape(markers, 4, count, 2),
        normals_px=normals.reshape(markers, 4, 2),
        valid=(on_line & usable[:, None]).reshape(markers, 4, count),
        scatter_px=scatter_px.reshape(markers, 4),
        blur_px=fit.blur_px.reshape(markers, 4),
        corners_px=corners,
        clipped=profiles.clipped.reshape(markers, 4, count),
    )


def _profiles(photo: Photo, feet: Floats, normals: Floats, reach_px: Floats) -> EdgeProfiles:
    """Linear light along the normals, interpolated bilinearly between native pixels.

    Only the pixels that are needed are decoded: a few percent of a photo.
    """
    at_px = np.linspace(-1.0, 1.0, SAMPLES_PER_PROFILE) * reach_px[:, None]
    places = feet[:, :, None] + at_px[:, None, :, None] * normals[:, None, None]
    limit = np.array([photo.width_px - 2, photo.height_px - 2])
    corner = np.floor(places)
    inside = np.all((corner >= 0) & (corner <= limit), axis=(2, 3))
    corner = np.clip(corner, 0, limit)
    share_x, share_y = np.moveaxis((places - corner).astype(np.float32), -1, 0)
    light = np.zeros(share_x.shape, dtype=np.float32)
    top_code = np.zeros(share_x.shape, dtype=np.uint8)
    # OpenCV picks pixels much faster than numpy does; a side is a row of its map.
    rows = corner.astype(np.int16).reshape(len(feet), -1, 2)
    whole = np.empty((0, 0), dtype=np.uint16)  # no fractions of pixels
    for step_x, step_y in ((0, 0), (1, 0), (0, 1), (1, 1)):
        step = np.array([step_x, step_y], dtype=np.int16)
        picked = cv2.remap(photo.pixels_bgr, rows + step, whole, cv2.INTER_NEAREST)
        pixels = np.asarray(picked, dtype=np.uint8)
        weight = (share_x if step_x else 1.0 - share_x) * (share_y if step_y else 1.0 - share_y)
        light += weight * linear_grey(pixels).reshape(light.shape)
        brightest = np.maximum(np.maximum(pixels[..., 0], pixels[..., 1]), pixels[..., 2])
        top_code = np.maximum(top_code, brightest.reshape(light.shape))
    # One clipped sample is noise; a fifth of the profile is a clipped level.
    clipped = (top_code >= CLIPPED_CODE).mean(axis=2) >= 0.2
    return EdgeProfiles(light=light, at_px=at_px.astype(np.float32), inside=inside, clipped=clipped)


def _clean(profiles: EdgeProfiles, fit: StepFit) -> NDArray[np.bool_]:
    """Which profiles show one clean step from black to white."""
    rise = fit.bright - fit.dark
    usual = np.median(rise, axis=1, keepdims=True)
    clean = profiles.inside & (rise > 0.02) & (rise > 0.4 * usual)
    clean &= fit.dark < 0.6 * fit.bright
    clean &= np.abs(fit.centre_px) < 0.85 * profiles.at_px[:, -1:]
    clean &= fit.misfit < 0.15 * np.maximum(rise, 1e-6)
    clipped = profiles.clipped & clean
    if clipped.sum() < MOST_CLIPPED_SHARE * clean.sum():
        clean &= ~clipped
    return clean


def _smooth_sides(
    share: Floats, centre_px: Floats, clean: NDArray[np.bool_]
) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Robust parabola through each side's offsets: on a pipe, sides are bent.

    Returns
    -------
    scatter, kept, line
        (S,) standard deviation about the parabola, (S, K) bool samples kept, and (S, 2) offset at
        the side's start and its growth over the side, of a straight line through them.
    """
    kept = clean.copy()
    line = np.stack([np.ones_like(share), share], axis=1)
    parabola = np.column_stack([line, share * (1.0 - share)])
    for _ in range(3):
        rest = centre_px - _through_kept(parabola, centre_px, kept) @ parabola.T
        spread = np.where(kept.any(axis=1), 1.4826 * _medians(np.abs(rest), kept), 0.1)
        kept = clean & (np.abs(rest) <= np.maximum(4.0 * spread, 0.08)[:, None])
    count = np.maximum(kept.sum(axis=1) - parabola.shape[1], 1)
    scatter = np.sqrt((np.where(kept, rest, 0.0) ** 2).sum(axis=1) / count)
    return scatter, kept, _through_kept(line, centre_px, kept)


def _medians(values: Floats, kept: NDArray[np.bool_]) -> Floats:
    """(S,) median of each row's kept values; infinite without any.

    As `numpy.nanmedian`, which takes the rows one by one.
    """
    ordered = np.sort(np.where(kept, values, np.inf), axis=1)
    last = np.maximum(kept.sum(axis=1, keepdims=True) - 1, 0)
    ends = (np.take_along_axis(ordered, at, axis=1)[:, 0] for at in (last // 2, (last + 1) // 2))
    return np.asarray(0.5 * sum(ends))


def _through_kept(basis: Floats, centre_px: Floats, kept: NDArray[np.bool_]) -> Floats:
    """(S, B) least-squares coefficients of a (K, B) basis on each side's kept samples."""
    weight = kept.astype(np.float64)
    normal = np.einsum("sk,ki,kj->sij", weight, basis, basis) + 1e-9 * np.eye(basis.shape[1])
    right = np.einsum("sk,ki,sk->si", weight, basis, centre_px)
    return np.asarray(np.linalg.solve(normal, right[..., None])[..., 0], dtype=np.float64)


def _meeting_points(ends: Floats, usable: NDArray[np.bool_], corners_px: Floats) -> Floats:
    """Corners where side k - 1 meets side k; the rough corner where one of them is unusable."""
    here, before = ends, np.roll(ends, 1, axis=1)
    run_h, run_b = here[:, :, 1] - here[:, :, 0], before[:, :, 1] - before[:, :, 0]
    cross = run_b[..., 0] * run_h[..., 1] - run_b[..., 1] * run_h[..., 0]
    gap = here[:, :, 0] - before[:, :, 0]
    safe = np.where(np.abs(cross) > 1e-6, cross, 1.0)
    along = (gap[..., 0] * run_h[..., 1] - gap[..., 1] * run_h[..., 0]) / safe
    meeting = before[:, :, 0] + along[..., None] * run_b
    good = usable & np.roll(usable, 1, axis=1) & (np.abs(cross) > 1e-6)
    return np.where(good[..., None], meeting, corners_px)
