"""Which markers of which design a photo shows, with rough corners."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.target.design import Marker, TargetDesign
from beadcheck.target.seam import along_wrap, turn_mm
from beadcheck.target.search import PART_WINDOWS_PX, SearchImage

Floats = NDArray[np.float64]

LINK_TOLERANCE: Final = 0.5
"""How far a neighbour may lie from where one marker's own affine frame puts it, over its distance.

Perspective at 60 degrees of tilt needs 0.4 at most between neighbours; chance seldom meets it.
"""
OTHER_DICTIONARIES: Final = (
    "DICT_4X4_1000",
    "DICT_5X5_1000",
    "DICT_6X6_1000",
    "DICT_7X7_1000",
    "DICT_ARUCO_ORIGINAL",
    "DICT_APRILTAG_36h11",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """A quadrangle that reads as one marker; `corners_px` is (4, 2) in the photo."""

    id: int
    corners_px: Floats

    @property
    def middle_px(self) -> Floats:
        """Mean of the corners."""
        return np.asarray(self.corners_px.mean(axis=0), dtype=np.float64)


Seen: TypeAlias = Mapping[str, Sequence[Candidate]]
"""What was seen, by dictionary; of one marker seen twice, the later is believed."""
_Pair: TypeAlias = tuple[Marker, Candidate]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """One design read in one picture: its markers that agree with each other.

    Markers beyond the seam of a strip that closes on itself have their corners moved by one turn,
    so that places run on without a jump.
    """

    design: TargetDesign
    markers: tuple[Marker, ...]
    candidates: tuple[Candidate, ...]


def candidates(image: SearchImage, dictionary: str) -> list[Candidate]:
    """Everything that reads as a marker of a dictionary, corners in pixels of the photo."""
    kind = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, dictionary))
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    parameters.adaptiveThreshWinSizeMin = image.windows_px[0]
    parameters.adaptiveThreshWinSizeMax = image.windows_px[-1]
    parameters.adaptiveThreshWinSizeStep = image.windows_px.step
    corners, ids, _ = cv2.aruco.ArucoDetector(kind, parameters).detectMarkers(image.grey)
    if ids is None:
        return []
    return [
        Candidate(
            id=int(number),
            # Pixel centres are whole numbers, so a shrunken pixel's centre lies half a pixel in.
            corners_px=(np.asarray(quad, dtype=np.float64).reshape(4, 2) + 0.5) * image.px_per_px
            - 0.5
            + image.origin_px,
        )
        for number, quad in zip(np.asarray(ids).reshape(-1), corners, strict=True)
    ]


def seen_in(images: Iterable[SearchImage], designs: Sequence[TargetDesign]) -> Seen:
    """Everything that reads as a marker of the designs' dictionaries."""
    return {
        name: [each for image in images for each in candidates(image, name)]
        for name in {design.dictionary for design in designs}
    }


def best_reading(seen: Seen, designs: Sequence[TargetDesign]) -> Reading:
    """The design of which most markers agree; the first of them on a tie."""
    readings = [_agreeing(design, seen[design.dictionary]) for design in designs]
    return max(readings, key=lambda reading: len(reading.markers))


def strangers(image: SearchImage, designs: Sequence[TargetDesign]) -> tuple[str, list[int]]:
    """Dictionary and ids of markers that belong to none of the designs; ("", []) without any."""
    own = {(design.dictionary, marker.id) for design in designs for marker in design.markers}
    names = list(dict.fromkeys([*(design.dictionary for design in designs), *OTHER_DICTIONARIES]))
    best: tuple[str, list[int]] = ("", [])
    for name in names:
        found = {candidate.id for candidate in candidates(image, name)}
        ids = sorted(number for number in found if (name, number) not in own)
        if len(ids) > max(1, len(best[1])):
            best = (name, ids)
    return best


def predicted_quads_px(reading: Reading) -> dict[int, Floats]:
    """Roughly where the markers that were not read should lie: id to (4, 2) corners in px.

    A strip that closes on itself goes on beyond its seam.
    """
    design, read = reading.design, {marker.id for marker in reading.markers}
    pieces = {marker.piece for marker in reading.markers}
    unread = [m for m in design.markers if m.id not in read and m.piece in pieces]
    if not unread:
        return {}
    length_mm = turn_mm(design)
    turns = (0,) if length_mm is None else (0, -1, 1)
    shifts_mm = np.array([along_wrap(design, turn * (length_mm or 0.0)) for turn in turns])
    away = _middles_mm(unread)[:, None, None] + shifts_mm[:, None] - _middles_mm(reading.markers)
    away_mm = np.linalg.norm(away, axis=3)
    same = np.array([[m.piece == other.piece for other in reading.markers] for m in unread])
    away_mm[~np.broadcast_to(same[:, None], away_mm.shape)] = np.inf
    nearest = away_mm.reshape(len(unread), -1).argmin(axis=1)
    frames = [
        _affine(marker, candidate)
        for marker, candidate in zip(reading.markers, reading.candidates, strict=True)
    ]
    return {
        marker.id: _through(frames[place], marker.corners_mm + shifts_mm[turn])
        for marker, turn, place in zip(
            unread, *np.unravel_index(nearest, away_mm.shape[1:]), strict=True
        )
    }


def _middles_mm(markers: Sequence[Marker]) -> Floats:
    """(N, 2) middles of markers on the print."""
    return np.array([marker.corners_mm.mean(axis=0) for marker in markers])


def unread_parts(
    pixels_bgr: NDArray[np.uint8], small: SearchImage, reading: Reading
) -> list[SearchImage]:
    """Parts of a photo that may show markers not read: one beside each read marker.

    A part reaches from the read marker, half a marker wider, to the furthest place that is
    nearer to it than to the others: on a pipe, markers come nearer than a plane would have them.
    Each comes shrunken, which quiets noise, and at full size, which shows fine modules.
    """
    size_px = np.array([pixels_bgr.shape[1], pixels_bgr.shape[0]])
    middles = np.array([candidate.middle_px for candidate in reading.candidates])
    nearest: dict[int, list[Floats]] = {}
    for quad in predicted_quads_px(reading).values():
        if (quad.max(axis=0) > 0.0).all() and (quad.min(axis=0) < size_px).all():
            place = int(np.hypot(*(middles - quad.mean(axis=0)).T).argmin())
            nearest.setdefault(place, [reading.candidates[place].corners_px]).append(quad)
    parts = []
    for quads in nearest.values():
        margin_px = 0.5 * np.ptp(quads[0], axis=0).max()
        low = np.maximum(np.min(quads, axis=(0, 1)) - margin_px, 0.0).astype(int)
        high = np.minimum(np.max(quads, axis=(0, 1)) + margin_px, size_px).astype(int)
        within = pixels_bgr[low[1] : high[1], low[0] : high[0]]
        full = SearchImage(
            grey=np.asarray(cv2.cvtColor(within, cv2.COLOR_BGR2GRAY), dtype=np.uint8),
            px_per_px=1,
            origin_px=(int(low[0]), int(low[1])),
            windows_px=PART_WINDOWS_PX,
        )
        parts += [small.part(low, high), full]
    return parts


def _affine(marker: Marker, candidate: Candidate) -> Floats:
    """(3, 2) least-squares map from the target's mm to px that one marker gives alone."""
    design = np.column_stack([marker.corners_mm, np.ones(4)])
    solution, *_ = np.linalg.lstsq(design, candidate.corners_px, rcond=None)
    return np.asarray(solution, dtype=np.float64)


def _through(affine: Floats, points_mm: Floats) -> Floats:
    return np.asarray(points_mm @ affine[:2] + affine[2], dtype=np.float64)


def _agreeing(design: TargetDesign, seen: Sequence[Candidate]) -> Reading:
    """Candidates of a design, less duplicates and those that its geometry contradicts."""
    by_id = {marker.id: marker for marker in design.markers}
    pairs = [(by_id[candidate.id], candidate) for candidate in seen if candidate.id in by_id]
    chosen: list[_Pair] = []
    for piece in sorted({marker.piece for marker, _ in pairs}):
        chosen += _agreeing_piece(design, [pair for pair in pairs if pair[0].piece == piece])
    return Reading(
        design=design,
        markers=tuple(marker for marker, _ in chosen),
        candidates=tuple(candidate for _, candidate in chosen),
    )


def _agreeing_piece(design: TargetDesign, pairs: list[_Pair]) -> list[_Pair]:
    """Largest group of linked candidates, each id once, its places unrolled over a strip's seam."""
    length_mm = turn_mm(design)
    turns = (0,) if length_mm is None else (0, -1, 1)
    shifts_mm = {turn: along_wrap(design, turn * (length_mm or 0.0)) for turn in (-2, -1, 0, 1, 2)}
    frames = [_affine(marker, candidate) for marker, candidate in pairs]
    links = {turn: _links(pairs, frames, shifts_mm[turn]) for turn in turns}
    groups: list[dict[int, int]] = []
    for start in range(len(pairs)):
        if not any(start in group for group in groups):
            groups.append(_linked_to(start, links))
    largest = max(groups, key=len)
    strength = sum(links[turn].sum(axis=1) for turn in turns)
    strongest: dict[int, int] = {}
    for place in sorted(largest, key=lambda place: int(strength[place])):
        strongest[pairs[place][0].id] = place
    usual = int(np.median([largest[place] for place in strongest.values()]))
    return [
        (_moved(pairs[place][0], shifts_mm[largest[place] - usual]), pairs[place][1])
        for place in sorted(strongest.values())
    ]


def _linked_to(start: int, links: dict[int, NDArray[np.bool_]]) -> dict[int, int]:
    """Every place linked to a start, through others too, with its turn round the pipe."""
    turn_of, front = {start: 0}, [start]
    while front:
        here = front.pop()
        for turn, linked in links.items():
            for there in np.flatnonzero(linked[here]):
                if int(there) not in turn_of:
                    turn_of[int(there)] = turn_of[here] + turn
                    front.append(int(there))
    return turn_of


def _moved(marker: Marker, shift_mm: Floats) -> Marker:
    return replace(marker, corners_mm=marker.corners_mm + shift_mm)


def _links(pairs: list[_Pair], frames: list[Floats], shift_mm: Floats) -> NDArray[np.bool_]:
    """(N, N) bool: of two places, one puts the other, shifted, about where it is.

    `frames` are the maps of each place alone, from `_affine`.
    """
    middles_mm = _middles_mm([marker for marker, _ in pairs])
    middles_px = np.array([candidate.middle_px for _, candidate in pairs])
    forth = np.zeros((len(pairs), len(pairs)), dtype=np.bool_)
    back = forth.copy()
    for place, frame in enumerate(frames):
        for links, shift in ((forth, shift_mm), (back, -shift_mm)):
            expected_px = _through(frame, middles_mm + shift)
            distance_px = np.hypot(*(expected_px - middles_px[place]).T)
            miss_px = np.hypot(*(expected_px - middles_px).T)
            links[place] = (miss_px <= LINK_TOLERANCE * distance_px) & (distance_px > 1.0)
    return np.asarray(forth | back.T)
