"""A first guess of pose and the parts' places from the markers' corners."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.model import PLACE, Model

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Corners:
    """Corners of the found markers: (M, 4, 2) printed and in the photo, (M,) part."""

    printed_mm: Floats
    points_px: Floats
    part: NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Start:
    """A model with a guessed pose, and the parameters to start from."""

    model: Model
    parameters: Floats


def starts(unposed: Model, corners: Corners, reference: int) -> list[Start]:
    """Guesses, likeliest first; a flat target seen nearly square on allows two.

    Parameters
    ----------
    unposed
        A model whose pose does not count yet.
    reference
        The part whose frame is the surface's frame.
    """
    own = corners.part == reference
    zero = np.zeros(unposed.parameter_count)
    printed = corners.printed_mm[own].reshape(-1, 2)
    points = corners.points_px[own].reshape(-1, 2)
    placed = unposed.laid(zero, printed, np.repeat(corners.part[own], 4))
    space = unposed.space(zero, placed[:, :2], placed[:, 2])
    guesses = []
    for rotation, translation in _poses(unposed, space, points):
        model = replace(unposed, rotation=rotation, translation_mm=translation)
        if model.eye_mm(zero)[2] < 0.0:
            guesses.append(Start(model=model, parameters=_with_parts(model, corners, reference)))
    return guesses


def _poses(model: Model, space: Floats, points_px: Floats) -> Sequence[tuple[Floats, Floats]]:
    focal_px, (centre_x, centre_y) = model.camera.focal_px, model.camera.centre_px
    matrix = np.array([[focal_px, 0.0, centre_x], [0.0, focal_px, centre_y], [0.0, 0.0, 1.0]])
    flat = np.ptp(space[:, 2]) < 1e-6
    # IPPE wants its plane at z = 0.
    lift = np.array([0.0, 0.0, space[0, 2] if flat else 0.0])
    found, turns, shifts, misses = cv2.solvePnPGeneric(
        (space - lift).reshape(-1, 1, 3),
        points_px.reshape(-1, 1, 2),
        matrix,
        None,
        flags=cv2.SOLVEPNP_IPPE if flat else cv2.SOLVEPNP_SQPNP,
    )
    if not found:
        return []
    poses = []
    misses = np.asarray(misses, dtype=np.float64).reshape(-1)
    for turn, shift, miss in zip(turns, shifts, misses, strict=True):
        rotation = np.asarray(cv2.Rodrigues(turn)[0], dtype=np.float64)
        translation = np.asarray(shift, dtype=np.float64).reshape(3) - rotation @ lift
        if miss <= 3.0 * misses.min() + 1.0:
            poses.append((rotation, translation))
    return poses


def _with_parts(model: Model, corners: Corners, reference: int) -> Floats:
    """Parameters with every other part moved rigidly to where its corners lie."""
    parameters = np.zeros(model.parameter_count)
    for number, part in enumerate(model.parts):
        own = corners.part == number
        if number == reference or not own.any():
            continue
        seen = model.surface_points(parameters, corners.points_px[own].reshape(-1, 2))
        on_surface = np.isfinite(seen).all(axis=1)
        local = corners.printed_mm[own].reshape(-1, 2) - part.middle_mm
        if on_surface.sum() >= 2:
            parameters[model.part_slice(number)][PLACE] = _rigid_move(
                local[on_surface], seen[on_surface] - part.middle_mm
            )
    return parameters


def _rigid_move(start: Floats, end: Floats) -> Floats:
    """Shift along x and y, and turn about the origin, that best bring points to points."""
    from_middle, to_middle = start.mean(axis=0), end.mean(axis=0)
    cross = (start - from_middle).T @ (end - to_middle)
    angle = np.arctan2(cross[0, 1] - cross[1, 0], cross[0, 0] + cross[1, 1])
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return np.array([*(to_middle - from_middle @ turn), angle])
