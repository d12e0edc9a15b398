"""Solve the base-metal surface from the target's marker edges."""

import contextlib
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.camera import Camera, CameraBook, camera_of
from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import SurfaceError
from beadcheck.errors.surface import PoseUnclearError
from beadcheck.photo import Photo
from beadcheck.surface.calibrated import contradicts, not_fitting
from beadcheck.surface.contract import PrintScale
from beadcheck.surface.edge_rest import edge_rest_px
from beadcheck.surface.fit import Fit, solved
from beadcheck.surface.gates import checked
from beadcheck.surface.lie import Stand, stand_of
from beadcheck.surface.model import Model
from beadcheck.surface.print_frame import PrintFrame, print_frame
from beadcheck.surface.prior import Prior, prior_of, widened_by_bow
from beadcheck.surface.solved import SolvedSurface
from beadcheck.surface.start import Corners, Start, starts
from beadcheck.target.find import EdgeSamples, FoundTarget
from beadcheck.target.thin import thinned_edges

Floats = NDArray[np.float64]

WORST_MARKER_RATIO: Final = 6.0
"""A marker that misses its place by this many times what the others do belongs elsewhere."""
WORST_MARKER_MM: Final = 0.1
"""... unless it misses by less than this, as a crumpled card's markers may."""
FEWEST_MARKERS: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Solution:
    """A fit, and the markers (places in `FoundTarget.markers`) and edges that it used."""

    model: Model
    prior: Prior
    fit: Fit
    edges: EdgeSamples
    markers: NDArray[np.intp]

    @property
    def misfit_px(self) -> float:
        """Median distance from the fitted edges."""
        return float(np.median(np.abs(self.fit.rest_px)))


def solve_surface(
    found: FoundTarget,
    photo: Photo,
    coupon: Coupon,
    print_scale: PrintScale,
    *,
    cameras: CameraBook = CameraBook(),  # noqa: B008  # frozen
) -> SolvedSurface:
    """Solve plane or pipe, camera and lie of the target from one photo's marker edges.

    Pose, focal length, centre, two terms of distortion, edge shift, bow and, on pipe, diameter and
    turn of the strip are solved together, each held by what is known of it beforehand. A stored
    calibration of the camera that the photo contradicts is not used, and a warning says so.

    Raises
    ------
    SurfaceError
        The markers contradict each other, the target is bent or its pieces lie in different planes,
        or the plate is seen too obliquely.
    """
    markers = [found_marker.marker for found_marker in found.markers]
    frame = print_frame(found.design, markers, coupon, print_scale.ratio)
    camera = camera_of(photo, cameras)
    if camera.calibration is None:
        return _solved(found, frame, camera, coupon, print_scale)
    with contextlib.suppress(SurfaceError):
        surface = _solved(found, frame, camera, coupon, print_scale)
        if not contradicts(surface):
            return surface
    surface = _solved(found, frame, camera_of(photo), coupon, print_scale)
    return replace(surface, warnings=(*surface.warnings, not_fitting(camera)))


def _solved(
    found: FoundTarget, frame: PrintFrame, camera: Camera, coupon: Coupon, scale: PrintScale
) -> SolvedSurface:
    solution = _without_misfits(found, frame, camera, coupon, scale)
    surface = _surface(solution, found, frame, scale)
    return checked(surface, solution.prior, _stands(found, frame, camera, coupon, scale))


def _stands(
    found: FoundTarget, frame: PrintFrame, camera: Camera, coupon: Coupon, scale: PrintScale
) -> tuple[Stand, ...]:
    """How each further piece of a plate's target stands over the first one's plane."""
    if coupon.shape is not Shape.PLATE or len(frame.keys) < 2:
        return ()
    markers = np.arange(len(found.markers))
    model = _unposed(found, markers, frame, camera, coupon)
    part, reference, corners = _parted(found, frame, markers)
    prior = _usual_prior(model, frame, part, reference, scale)
    edges = frame.edges(thinned_edges(found.edges))
    likeliest = starts(model, corners, reference)[:1]
    return tuple(
        stand_of(start.model, edges, part[edges.marker], prior, start.parameters, other=int(other))
        for start in likeliest
        for other in np.unique(part)
        if other != reference
    )


def _unposed(
    found: FoundTarget,
    markers: NDArray[np.intp],
    frame: PrintFrame,
    camera: Camera,
    coupon: Coupon,
) -> Model:
    printed = [marker.marker for marker in found.markers]
    seen_mm = np.array([printed[place].corners_mm for place in markers])
    diameter_mm = coupon.strip_diameter_mm
    side = -1.0 if coupon.seen_from_inside else 1.0
    return Model(
        camera=camera,
        rotation=np.eye(3),
        translation_mm=np.zeros(3),
        pivot_mm=frame.points(0.5 * (seen_mm.min(axis=(0, 1)) + seen_mm.max(axis=(0, 1)))),
        thickness_mm=frame.design.thickness_mm,
        radius_mm=None if diameter_mm is None else side * 0.5 * diameter_mm,
        u_radius_ratio=coupon.u_strip_diameter_ratio,
        parts=frame.parts(printed),
    )


def _without_misfits(
    found: FoundTarget, frame: PrintFrame, camera: Camera, coupon: Coupon, scale: PrintScale
) -> _Solution:
    """Solve, leaving out one by one the markers that the others contradict."""
    edges = frame.edges(thinned_edges(found.edges))
    markers = np.arange(len(found.markers))
    while True:
        model = _unposed(found, markers, frame, camera, coupon)
        solution = _best_solution(found, frame, model, edges, markers, scale)
        worst = _misfit_marker(solution)
        if worst is None:
            return solution
        if markers.size <= FEWEST_MARKERS:
            raise PoseUnclearError
        markers = markers[markers != worst]


def _best_solution(
    found: FoundTarget,
    frame: PrintFrame,
    model: Model,
    edges: EdgeSamples,
    markers: NDArray[np.intp],
    scale: PrintScale,
) -> _Solution:
    """The best fit from all starting poses."""
    seen, reference, corners = _parted(found, frame, markers)
    prior = _usual_prior(model, frame, seen, reference, scale)
    part = np.array([frame.part_of(marker.marker) for marker in found.markers])
    own = edges.of_markers(markers)
    solutions = [
        _solution(start, own, part[own.marker], prior, markers)
        for start in starts(model, corners, reference)
    ]
    if not solutions:
        raise PoseUnclearError
    return min(solutions, key=lambda solution: solution.misfit_px)


def _parted(
    found: FoundTarget, frame: PrintFrame, markers: NDArray[np.intp]
) -> tuple[NDArray[np.intp], int, Corners]:
    """The part of each of these markers, the part that is the reference, and the corners."""
    part = np.array([frame.part_of(found.markers[m].marker) for m in markers])
    corners = Corners(
        printed_mm=frame.points(np.array([found.markers[m].marker.corners_mm for m in markers])),
        points_px=np.array([found.markers[m].corners_px for m in markers]),
        part=part,
    )
    return part, frame.reference(part), corners


def _usual_prior(
    model: Model, frame: PrintFrame, seen: NDArray[np.intp], reference: int, scale: PrintScale
) -> Prior:
    """What is known of usual, nearly flat paper whose parts of these numbers are seen."""
    return prior_of(
        model,
        seen=set(seen.tolist()),
        ties=[frame.tie(number, reference) for number in range(len(frame.keys))],
        u_ratio=scale.u_ratio / scale.ratio,
    )


def _solution(
    start: Start,
    edges: EdgeSamples,
    part: NDArray[np.intp],
    prior: Prior,
    markers: NDArray[np.intp],
) -> _Solution:
    rest = edge_rest_px(start.model, edges, part)
    fit = solved(rest, edges.u_px, prior, start.parameters)
    wider = widened_by_bow(prior, start.model, fit.parameters)
    if wider is not None:
        fit = solved(rest, edges.u_px, wider, fit.parameters)
    return _Solution(model=start.model, prior=wider or prior, fit=fit, edges=edges, markers=markers)


def _misfit_marker(solution: _Solution) -> int | None:
    """The marker that the others contradict most, if any."""
    rest_px = np.abs(solution.fit.rest_px)
    edges = solution.edges
    medians = np.array([np.median(rest_px[edges.marker == m]) for m in solution.markers])
    place = int(medians.argmax())
    usual_px = max(float(np.median(np.delete(medians, place))), 0.02)
    limit_px = max(WORST_MARKER_MM * edges.px_per_mm, WORST_MARKER_RATIO * usual_px)
    return int(solution.markers[place]) if medians[place] > limit_px else None


def _surface(
    solution: _Solution, found: FoundTarget, frame: PrintFrame, scale: PrintScale
) -> SolvedSurface:
    fit, design = solution.fit, found.design
    zero_mm = None if design.clock_zero_mm is None else design.clock_zero_mm * scale.ratio
    kept_px = fit.rest_px[fit.kept]
    return SolvedSurface(
        model=solution.model,
        parameters=fit.parameters,
        covariance=fit.covariance,
        free=solution.prior.free,
        residual_px=float(np.sqrt((kept_px * kept_px).mean())),
        pattern_px=fit.pattern_px,
        blur_px=found.blur_px,
        scale=scale,
        part_keys=frame.keys,
        reference=frame.reference(
            np.array([frame.part_of(found.markers[m].marker) for m in solution.markers])
        ),
        outlines_mm=frame.outlines(),
        step_mm=frame.step(),
        clock_zero_mm=zero_mm,
        clock_sense=design.clock_sense,
    )
