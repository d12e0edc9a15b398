"""Find a printed target in a photo, its marker edges to sub-pixel."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.target import (
    GlareOnTargetError,
    MirroredTargetError,
    NoMarkerError,
    OtherTargetError,
    TargetBlurredError,
    TargetCutOffError,
    TooFewMarkersError,
)
from beadcheck.photo import Photo
from beadcheck.target.design import Marker, TargetDesign
from beadcheck.target.detect import (
    Reading,
    best_reading,
    predicted_quads_px,
    seen_in,
    strangers,
    unread_parts,
)
from beadcheck.target.edges import Sides, refined_sides
from beadcheck.target.search import SEARCH_LONG_SIDE_PX, SearchImage, search_image

FEWEST_MARKERS: Final = 2
"""One 12 mm marker gives a scale but hardly a tilt: its error grows without a sign of it."""
FEWEST_SIDES: Final = 2
GREATEST_BLUR_IN_MODULES: Final = 0.33
"""Beyond this, neighbouring black and white cells reach into each other's edges."""
BORDER_MODULES: Final = 2
SMALLEST_PHOTO_PX: Final = 48
"""Less shows no two markers, and the detector wants room for its windows."""
GLARE_CODE: Final = 250
GLARE_SHARE: Final = 0.3
"""Share of a hidden marker's place that must be burnt out; half of a readable one is black."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundMarker:
    """A marker of the design, with its (4, 2) corners in the photo where its fitted sides meet.

    `clean_share` is the share of its edge profiles that could be used.
    """

    marker: Marker
    corners_px: NDArray[np.float64]
    clean_share: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeSamples:
    """N points on the outer edges of the found markers.

    Attributes
    ----------
    edge_mm
        (N, 2) the point on the printed edge, in the target's frame as designed.
    outward_mm
        (N, 2) unit vectors out of the marker, in the target's frame.
    points_px, normals_px
        (N, 2) where the photo shows the edge, and the unit normal along which that is known.
    u_px
        (N,) standard deviation of a sample along its normal.
    marker, side
        (N,) place in `FoundTarget.markers`, and 4 times that plus the side.
    """

    edge_mm: NDArray[np.float64]
    outward_mm: NDArray[np.float64]
    points_px: NDArray[np.float64]
    normals_px: NDArray[np.float64]
    u_px: NDArray[np.float64]
    marker: NDArray[np.intp]
    side: NDArray[np.intp]

    def __post_init__(self) -> None:
        pairs = (self.edge_mm, self.outward_mm, self.points_px, self.normals_px)
        singles = (self.u_px, self.marker, self.side)
        if {p.shape for p in pairs} != {(self.u_px.size, 2)} or len({s.size for s in singles}) > 1:
            msg = "edge samples must be (N, 2) and (N,)"
            raise ValueError(msg)
        for array in (*pairs, *singles):
            array.flags.writeable = False

    @property
    def px_per_mm(self) -> float:
        """Photo pixels per printed mm along the sides: their median."""
        same = np.diff(self.side) == 0
        step_px = np.linalg.norm(np.diff(self.points_px, axis=0)[same], axis=1)
        step_mm = np.linalg.norm(np.diff(self.edge_mm, axis=0)[same], axis=1)
        return float(np.median(step_px / np.maximum(step_mm, 1e-9)))

    def of_markers(self, markers: NDArray[np.intp]) -> "EdgeSamples":
        """The samples of some markers only."""
        own = np.isin(self.marker, markers)
        return EdgeSamples(
            edge_mm=self.edge_mm[own],
            outward_mm=self.outward_mm[own],
            points_px=self.points_px[own],
            normals_px=self.normals_px[own],
            u_px=self.u_px[own],
            marker=self.marker[own],
            side=self.side[own],
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundTarget:
    """A design in a photo.

    Attributes
    ----------
    blur_px
        Standard deviation of the blur at the marker edges: median over the sides.
    """

    design: TargetDesign
    markers: tuple[FoundMarker, ...]
    edges: EdgeSamples
    blur_px: float


def find_target(photo: Photo, designs: Sequence[TargetDesign]) -> FoundTarget:
    """Find the one of `designs` that the photo shows best.

    Raises
    ------
    TargetError
        One of the classes imported above, with what to do about it.
    """
    if min(photo.width_px, photo.height_px) < SMALLEST_PHOTO_PX:
        raise NoMarkerError
    image, reading = _searched(photo, designs)
    if len(reading.markers) < FEWEST_MARKERS:
        _refuse(photo, image, reading, designs)
    module_px = _module_px(reading)
    sides = refined_sides(
        photo, np.array([candidate.corners_px for candidate in reading.candidates]), module_px
    )
    return _found(reading, sides, module_px)


def _searched(photo: Photo, designs: Sequence[TargetDesign]) -> tuple[SearchImage, Reading]:
    """Read a shrunken photo, and at full size what a quick look at it may have missed."""
    small = search_image(photo.pixels_bgr, SEARCH_LONG_SIDE_PX)
    seen = seen_in([small.at_a_glance()], designs)
    reading = best_reading(seen, designs)
    if len(reading.markers) >= FEWEST_MARKERS:
        more = seen_in(unread_parts(photo.pixels_bgr, small, reading), designs)
        return small, best_reading({name: [*seen[name], *more[name]] for name in seen}, designs)
    reading = best_reading(seen_in([small], designs), designs)
    if len(reading.markers) >= FEWEST_MARKERS or small.px_per_px == 1:
        return small, reading
    full = search_image(photo.pixels_bgr, None)
    again = best_reading(seen_in([full], designs), designs)
    return (full, again) if len(again.markers) > len(reading.markers) else (small, reading)


def _module_px(reading: Reading) -> NDArray[np.float64]:
    """(M,) width of one module at each marker's shortest side, in px."""
    quads = np.array([candidate.corners_px for candidate in reading.candidates])
    sides_px = np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=2).min(axis=1)
    kind = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, reading.design.dictionary))
    return np.asarray(sides_px / (kind.markerSize + BORDER_MODULES), dtype=np.float64)


def _found(reading: Reading, sides: Sides, module_px: NDArray[np.float64]) -> FoundTarget:
    blur_px = float(np.median(sides.blur_px))
    blur_in_modules = float(np.median(sides.blur_px / module_px[:, None]))
    if blur_in_modules > GREATEST_BLUR_IN_MODULES:
        raise TargetBlurredError(blur_px, float(np.median(module_px)))
    usable = sides.valid.any(axis=2).sum(axis=1) >= FEWEST_SIDES
    if usable.sum() < FEWEST_MARKERS:
        if sides.clipped.mean() > GLARE_SHARE:
            raise GlareOnTargetError
        raise TooFewMarkersError(int(usable.sum()), FEWEST_MARKERS)
    kept = np.flatnonzero(usable)
    return FoundTarget(
        design=reading.design,
        markers=tuple(
            FoundMarker(
                marker=reading.markers[place],
                corners_px=sides.corners_px[place],
                clean_share=float(sides.valid[place].mean()),
            )
            for place in kept
        ),
        edges=_edge_samples([reading.markers[place] for place in kept], sides, kept),
        blur_px=blur_px,
    )


def _edge_samples(markers: Sequence[Marker], sides: Sides, kept: NDArray[np.intp]) -> EdgeSamples:
    """Samples of the kept markers, each with the place on the printed edge that it shows."""
    edge_mm, outward_mm = [], []
    for marker, place in zip(markers, kept, strict=True):
        to_mm = cv2.getPerspectiveTransform(
            sides.corners_px[place].astype(np.float32), marker.corners_mm.astype(np.float32)
        )
        seen_mm = cv2.perspectiveTransform(sides.points_px[place], to_mm)
        start = marker.corners_mm
        run = np.roll(start, -1, axis=0) - start
        length_mm = np.linalg.norm(run, axis=1)
        along = np.einsum("skj,sj->sk", seen_mm - start[:, None], run) / length_mm[:, None] ** 2
        edge_mm.append(start[:, None] + along[..., None] * run[:, None])
        normal = np.stack([run[:, 1], -run[:, 0]], axis=1) / length_mm[:, None]
        outward_mm.append(np.broadcast_to(normal[:, None], edge_mm[-1].shape))
    valid = sides.valid[kept]
    number, side, _ = np.nonzero(valid)
    # A side of a few samples can look straighter than it is.
    u_px = np.maximum(sides.scatter_px[kept], 0.02)
    return EdgeSamples(
        edge_mm=np.array(edge_mm)[valid],
        outward_mm=np.array(outward_mm)[valid],
        points_px=sides.points_px[kept][valid],
        normals_px=sides.normals_px[kept][number, side],
        u_px=u_px[number, side],
        marker=number,
        side=4 * number + side,
    )


def _refuse(
    photo: Photo, image: SearchImage, reading: Reading, designs: Sequence[TargetDesign]
) -> None:
    """Say why too few markers could be read."""
    found = len(reading.markers)
    if len(best_reading(seen_in([image.mirrored()], designs), designs).markers) >= FEWEST_MARKERS:
        raise MirroredTargetError
    if found:
        outside, burnt = _hidden(photo, reading)
        if burnt:
            raise GlareOnTargetError
        if outside:
            raise TargetCutOffError(found, len(reading.design.markers))
        raise TooFewMarkersError(found, FEWEST_MARKERS)
    dictionary, ids = strangers(image, designs)
    if ids:
        raise OtherTargetError(dictionary, tuple(ids), tuple(design.name for design in designs))
    raise NoMarkerError


def _hidden(photo: Photo, reading: Reading) -> tuple[int, int]:
    """How many of the missing markers lie outside the photo, and how many under glare."""
    outside = burnt = 0
    limit = np.array([photo.width_px - 1, photo.height_px - 1])
    for quad in predicted_quads_px(reading).values():
        if ((quad < 0) | (quad > limit)).any():
            outside += 1
            continue
        left, top = np.floor(quad.min(axis=0)).astype(int)
        right, bottom = np.ceil(quad.max(axis=0)).astype(int)
        patch = photo.pixels_bgr[top : bottom + 1, left : right + 1]
        burnt += int((patch.min(axis=2) >= GLARE_CODE).mean() > GLARE_SHARE)
    return outside, burnt
