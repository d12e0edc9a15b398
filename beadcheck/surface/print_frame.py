"""The target as printed and laid: true millimetres, its wrapped axis along x, its rigid parts."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Coupon, Shape
from beadcheck.surface.model import Part
from beadcheck.surface.prior import Tie
from beadcheck.target.design import Marker, TargetDesign, WrapAxis
from beadcheck.target.find import EdgeSamples
from beadcheck.target.seam import along_wrap, place_along_wrap_mm, turn_mm, turn_of

Floats = NDArray[np.float64]

FEWEST_OF_REFERENCE: Final = 2
"""One marker alone gives a poor frame."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class PartKey:
    """What sets a rigid part of a target apart from the others.

    Attributes
    ----------
    turn
        Beyond the seam of a strip that closes on itself: -1 or 1, else 0.
    segment
        Counts the glued joints along a strip.
    """

    turn: int
    piece: int
    segment: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintFrame:
    """How a design's coordinates become places on the print.

    Attributes
    ----------
    ratio
        True over nominal length.
    swapped
        The target wraps along its own y: its frame is turned a quarter, so that x runs round.
    keys
        Of each rigid part.
    """

    design: TargetDesign
    ratio: float
    swapped: bool
    keys: tuple[PartKey, ...]

    def points(self, points_mm: Floats) -> Floats:
        """Places on the print, in true mm."""
        return self.directions(points_mm * self.ratio)

    def directions(self, vectors: Floats) -> Floats:
        """Vectors on the print, their length unchanged."""
        if not self.swapped:
            return vectors
        return np.stack([vectors[..., 1], -vectors[..., 0]], axis=-1)

    def part_of(self, marker: Marker) -> int:
        """Number of the rigid part that carries a marker."""
        return self.keys.index(_key(self.design, marker))

    def outlines(self) -> tuple[tuple[int, Floats], ...]:
        """Rigid part and corners of each patch of paper, in true mm.

        A strip that closes on itself is repeated before its start and after its end, since the
        surface's x runs on there. Of a piece that was not found nobody knows where it lies.
        """
        length_mm = turn_mm(self.design)
        turns = (0,) if length_mm is None else (0, -1, 1)
        found = {key.piece for key in self.keys}
        return tuple(
            (
                self._part_of_paper(turn, patch.piece),
                self.points(patch.corners_mm + along_wrap(self.design, turn * (length_mm or 0.0))),
            )
            for turn in turns
            for patch in self.design.paper_patches
            if patch.piece in found
        )

    def step(self) -> tuple[int, Floats] | None:
        """Rigid part and corners of the place of a known step, in true mm; None without one.

        Where the piece that marks it was not found, nobody knows where it lies.
        """
        own = [n for n, key in enumerate(self.keys) if key.turn == 0 and key.piece == 0]
        if self.design.step_corners_mm is None or not own:
            return None
        return own[0], self.points(self.design.step_corners_mm)

    def _part_of_paper(self, turn: int, piece: int) -> int:
        """The part to which paper belongs, or the first where no marker of its turn was found."""
        own = ((key.turn, key.piece) == (turn, piece) for key in self.keys)
        return next((number for number, mine in enumerate(own) if mine), 0)

    def reference(self, seen: NDArray[np.intp]) -> int:
        """The part whose frame is the surface's: the first piece's, unless it hardly shows.

        `seen` is the part of each marker found.
        """
        count = np.bincount(seen, minlength=len(self.keys))
        own = [n for n, key in enumerate(self.keys) if key.turn == 0 and key.piece == 0]
        best = max(own, key=lambda n: count[n], default=int(count.argmax()))
        return best if count[best] >= FEWEST_OF_REFERENCE else int(count.argmax())

    def tie(self, number: int, reference: int) -> Tie:
        """How a part hangs on the reference."""
        key, base = self.keys[number], self.keys[reference]
        if key.piece != base.piece:
            return Tie.FREE
        if key.turn != base.turn:
            return Tie.SEAM
        return Tie.SAME if key.segment == base.segment else Tie.GLUED

    def edges(self, edges: EdgeSamples) -> EdgeSamples:
        """The same samples with their printed places in true mm."""
        return replace(
            edges,
            edge_mm=self.points(edges.edge_mm),
            outward_mm=self.directions(edges.outward_mm),
        )

    def parts(self, markers: Iterable[Marker]) -> tuple[Part, ...]:
        """Middle and extent of each rigid part, from its paper and the markers found on it."""
        own: dict[PartKey, list[Floats]] = {key: [] for key in self.keys}
        for marker in markers:
            own[_key(self.design, marker)].append(marker.corners_mm)
        if not self.design.joints_mm:
            for patch in self.design.paper_patches:
                key = PartKey(turn=0, piece=patch.piece, segment=0)
                if key in own:
                    own[key].append(patch.corners_mm)
        return tuple(self._part(np.concatenate(own[key])) for key in self.keys)

    def _part(self, corners_mm: Floats) -> Part:
        corners = self.points(corners_mm)
        low, high = corners.min(axis=0), corners.max(axis=0)
        return Part(middle_mm=0.5 * (low + high), half_span_mm=0.5 * (high - low))


def print_frame(
    design: TargetDesign, markers: Iterable[Marker], coupon: Coupon, ratio: float
) -> PrintFrame:
    """The frame of a design, of which these markers were found, on this coupon."""
    return PrintFrame(
        design=design,
        ratio=ratio,
        swapped=coupon.shape is Shape.PIPE and design.wraps is WrapAxis.Y,
        keys=tuple(sorted({_key(design, marker) for marker in markers})),
    )


def _key(design: TargetDesign, marker: Marker) -> PartKey:
    turn = turn_of(design, marker)
    along_mm = place_along_wrap_mm(design, marker) - turn * (turn_mm(design) or 0.0)
    segment = int(np.searchsorted(np.sort(design.joints_mm), along_mm))
    return PartKey(turn=turn, piece=marker.piece, segment=segment)
