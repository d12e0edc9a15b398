"""Several photos of one target solved together: one camera and one lie of the paper for all."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Coupon
from beadcheck.errors.surface import PoseUnclearError
from beadcheck.photo import Photo
from beadcheck.surface.fit import Fit
from beadcheck.surface.joint_problem import JointProblem, JointSide
from beadcheck.surface.model import CENTRE, FOCAL, K1, K2
from beadcheck.surface.print_frame import PrintFrame, print_frame
from beadcheck.surface.prior import prior_of, widened_by_bow
from beadcheck.surface.solved import SolvedSurface
from beadcheck.surface.start import Corners, starts
from beadcheck.target.find import FoundTarget
from beadcheck.target.thin import thinned_edges

Floats = NDArray[np.float64]

CENTRE_PLACES: Final = tuple(range(CENTRE.start, CENTRE.stop))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairView:
    """A photo with its target found, and its surface solved from it alone."""

    photo: Photo
    found: FoundTarget
    surface: SolvedSurface


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointSurface:
    """V photos of one target, solved together.

    A view's parameters are the sum of what all views share and of what is its own.

    Attributes
    ----------
    surfaces
        One for each view, in one common frame.
    covariance
        (F, F) of the free parameters of all views.
    spread
        (V, P, F): how each view's parameters follow the free ones.
    """

    surfaces: tuple[SolvedSurface, ...]
    covariance: Floats
    spread: Floats

    def one_sigma(self) -> tuple[tuple[SolvedSurface, ...], ...]:
        """Sets of surfaces that each err by one standard uncertainty, independently of one another.

        What any value changes by from these surfaces to each set, squared and summed, is the square
        of its standard uncertainty from the fit.
        """
        values, vectors = np.linalg.eigh(self.covariance)
        errors = vectors * np.sqrt(np.maximum(values, 0.0))
        return tuple(
            tuple(
                replace(surface, parameters=surface.parameters + spread @ error)
                for surface, spread in zip(self.surfaces, self.spread, strict=True)
            )
            for error in errors.T
        )


def solve_together(views: Sequence[PairView], coupon: Coupon) -> JointSurface:
    """Solve all views' poses, their camera and the lie of the target at once.

    Raises
    ------
    PoseUnclearError
        The views show no common piece of the target.
    """
    scale = views[0].surface.scale
    frame = print_frame(
        views[0].found.design,
        [marker.marker for view in views for marker in view.found.markers],
        coupon,
        scale.ratio,
    )
    reference = _common_part(views, frame)
    sides = [_side(view, views, frame, reference) for view in views]
    shared = prior_of(
        sides[0].model,
        seen={int(n) for side in sides for n in np.unique(side.part)},
        ties=[frame.tie(number, reference) for number in range(len(frame.keys))],
        u_ratio=scale.u_ratio / scale.ratio,
    )
    problem = JointProblem.of(sides, shared, _own_camera(views))
    fit = problem.solved(problem.start())
    wider = widened_by_bow(shared, sides[0].model, fit.parameters[: problem.count])
    if wider is not None:
        problem = JointProblem.of(sides, wider, _own_camera(views))
        fit = problem.solved(fit.parameters)
    return _joint(problem, fit, views, frame, reference)


def _own_camera(views: Sequence[PairView]) -> tuple[int, ...]:
    """The camera's parameters that each view has for itself, as far as the files tell."""
    lenses = {(v.photo.lens, *sorted((v.photo.width_px, v.photo.height_px))) for v in views}
    if len(lenses) > 1:
        return (FOCAL, K1, K2, *CENTRE_PLACES)
    # A phone that was turned by a quarter has its centre elsewhere in the upright picture.
    turned = len({view.photo.width_px for view in views}) > 1
    return CENTRE_PLACES if turned else ()


def _common_part(views: Sequence[PairView], frame: PrintFrame) -> int:
    """The rigid part that every view shows, with the most markers."""
    counts = np.array(
        [
            np.bincount(
                [frame.part_of(marker.marker) for marker in view.found.markers],
                minlength=len(frame.keys),
            )
            for view in views
        ]
    ).min(axis=0)
    if counts.max() < 1:
        raise PoseUnclearError
    parts = np.repeat(np.arange(counts.size), counts)
    return frame.reference(parts)


def _side(
    view: PairView, views: Sequence[PairView], frame: PrintFrame, reference: int
) -> JointSide:
    """Start from the view's own pose, in the common frame."""
    printed = [marker.marker for each in views for marker in each.found.markers]
    corners_mm = np.array([marker.corners_mm for marker in printed])
    own = view.surface.model
    unposed = replace(
        own,
        pivot_mm=frame.points(0.5 * (corners_mm.min(axis=(0, 1)) + corners_mm.max(axis=(0, 1)))),
        parts=frame.parts(printed),
    )
    part = np.array([frame.part_of(marker.marker) for marker in view.found.markers])
    corners = Corners(
        printed_mm=frame.points(np.array([m.marker.corners_mm for m in view.found.markers])),
        points_px=np.array([m.corners_px for m in view.found.markers]),
        part=part,
    )
    guesses = starts(unposed, corners, reference)
    if not guesses:
        raise PoseUnclearError
    normal = own.rotation_of(view.surface.parameters)[:, 2]
    # A flat target seen nearly square on allows two poses: the view's own solution tells which.
    start = max(guesses, key=lambda guess: float(guess.model.rotation[:, 2] @ normal))
    edges = frame.edges(thinned_edges(view.found.edges))
    return JointSide(
        model=start.model, edges=edges, part=part[edges.marker], start=start.parameters
    )


def _joint(
    problem: JointProblem,
    fit: Fit,
    views: Sequence[PairView],
    frame: PrintFrame,
    reference: int,
) -> JointSurface:
    free, count = problem.prior.free, problem.count
    covariance = fit.covariance[np.ix_(free, free)]
    rest_px = np.split(fit.rest_px, np.cumsum([side.part.size for side in problem.sides])[:-1])
    surfaces, spreads = [], []
    for number, (view, side) in enumerate(zip(views, problem.sides, strict=True)):
        spread = np.zeros((count, free.size))
        for offset in (0, count * (number + 1)):
            mine = (free >= offset) & (free < offset + count)
            spread[free[mine] - offset, np.flatnonzero(mine)] = 1.0
        marginal = spread @ covariance @ spread.T
        surfaces.append(
            replace(
                view.surface,
                model=side.model,
                parameters=problem.of_view(fit.parameters, number),
                covariance=marginal,
                free=np.flatnonzero(np.diag(marginal) > 0.0),
                residual_px=float(np.sqrt(np.mean(rest_px[number] ** 2))),
                part_keys=frame.keys,
                reference=reference,
                outlines_mm=frame.outlines(),
            )
        )
        spreads.append(spread)
    return JointSurface(surfaces=tuple(surfaces), covariance=covariance, spread=np.stack(spreads))
