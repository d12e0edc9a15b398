"""What one photo shows of a flat board: known places on it, and where the sensor saw them."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from beadcheck.camera.turn import turned_directions, turned_points, turned_size
from beadcheck.photo import Photo

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoardView:
    """N places of a board in one photo, each known along one direction of the picture.

    Attributes
    ----------
    board
        Name of the board.
    board_mm, outward_mm
        (N, 2) the place as designed, and the direction in which spreading ink moves it (zero where
        it moves nothing).
    points_px, normals_px
        (N, 2) where the photo shows it, and the unit normal along which that is known.
    u_px
        (N,) standard uncertainty along the normal.
    start_mm, start_px
        (M, 2) corners known both ways, for a first guess.
    """

    board: str
    board_mm: Floats
    outward_mm: Floats
    points_px: Floats
    normals_px: Floats
    u_px: Floats
    start_mm: Floats
    start_px: Floats

    def __post_init__(self) -> None:
        pairs = (self.board_mm, self.outward_mm, self.points_px, self.normals_px)
        if {each.shape for each in pairs} != {(self.u_px.size, 2)}:
            msg = "places of a board must be (N, 2) and (N,)"
            raise ValueError(msg)
        for array in (*pairs, self.u_px, self.start_mm, self.start_px):
            array.flags.writeable = False

    def as_read(self, photo: Photo) -> tuple["BoardView", tuple[int, int]]:
        """The view in the sensor's own picture, and that picture's width and height."""
        upright_px = (photo.width_px, photo.height_px)
        back = -(photo.lens.quarter_turns or 0)
        turned = BoardView(
            board=self.board,
            board_mm=self.board_mm,
            outward_mm=self.outward_mm,
            points_px=turned_points(self.points_px, upright_px, back),
            normals_px=turned_directions(self.normals_px, back),
            u_px=self.u_px,
            start_mm=self.start_mm,
            start_px=turned_points(self.start_px, upright_px, back),
        )
        return turned, turned_size(upright_px, back)


class Board(Protocol):
    """A flat board that cameras are calibrated with."""

    def view(self, photo: Photo) -> BoardView:
        """Find the board in an upright photo.

        Raises
        ------
        BeadcheckError
            The photo does not show enough of it.
        """
