"""A chessboard: its inner corners, refined in linear light."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.camera.view import BoardView
from beadcheck.errors.camera import ChessboardNotFoundError
from beadcheck.photo import Photo, linear_grey
from beadcheck.target.search import SEARCH_LONG_SIDE_PX, search_image

Floats = NDArray[np.float64]

U_CORNER_PX: Final = 0.1
"""Only weighs corners against what is known of the board; the residuals set the uncertainty."""
WINDOW_OF_SQUARE: Final = 0.3
"""Half a refining window over the shortest side of a square: it must see one corner only."""
SMALLEST_WINDOW_PX: Final = 2
LARGEST_WINDOW_PX: Final = 20
REFINING: Final = (cv2.TERM_CRITERIA_COUNT + cv2.TERM_CRITERIA_EPS, 60, 1e-4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chessboard:
    """A chessboard of so many inner corners along and across, with squares of one size."""

    columns: int
    rows: int
    square_mm: float

    def view(self, photo: Photo) -> BoardView:
        """Find all inner corners.

        Black and white meet evenly there, so that neither blur nor spreading ink moves them.

        Raises
        ------
        ChessboardNotFoundError
            The photo does not show the whole board.
        """
        corners_px = _refined(photo, self._rough_px(photo), (self.rows, self.columns))
        column, row = np.meshgrid(np.arange(self.columns), np.arange(self.rows))
        corners_mm = self.square_mm * np.stack([column.ravel(), row.ravel()], 1).astype(np.float64)
        both_ways = np.tile(np.eye(2), (len(corners_px), 1))
        return BoardView(
            board=f"chessboard {self.columns} x {self.rows}",
            board_mm=np.repeat(corners_mm, 2, axis=0),
            outward_mm=np.zeros_like(both_ways),
            points_px=np.repeat(corners_px, 2, axis=0),
            normals_px=both_ways,
            u_px=np.full(len(both_ways), U_CORNER_PX),
            start_mm=corners_mm,
            start_px=corners_px,
        )

    def _rough_px(self, photo: Photo) -> Floats:
        """(N, 2) corners to a pixel or two, row by row."""
        image = search_image(photo.pixels_bgr, SEARCH_LONG_SIDE_PX)
        size = (self.columns, self.rows)
        found, corners = cv2.findChessboardCornersSB(
            image.grey, size, flags=cv2.CALIB_CB_EXHAUSTIVE | cv2.CALIB_CB_NORMALIZE_IMAGE
        )
        if not found:
            # The older search reads some boards that the newer one does not, at the picture's rim.
            found, corners = cv2.findChessboardCorners(image.grey, size)
        if not found:
            raise ChessboardNotFoundError(self.columns, self.rows)
        rough = np.asarray(corners, dtype=np.float64).reshape(-1, 2)
        return np.asarray((rough + 0.5) * image.px_per_px - 0.5)


def _refined(photo: Photo, rough_px: Floats, shape: tuple[int, int]) -> Floats:
    """(N, 2) corners to sub-pixel."""
    grid = rough_px.reshape(*shape, 2)
    sides_px = [np.linalg.norm(np.diff(grid, axis=axis), axis=2).min() for axis in (0, 1)]
    window = int(np.clip(WINDOW_OF_SQUARE * min(sides_px), SMALLEST_WINDOW_PX, LARGEST_WINDOW_PX))
    light = linear_grey(photo.pixels_bgr)
    start = rough_px.astype(np.float32).reshape(-1, 1, 2)
    refined = cv2.cornerSubPix(light, start, (window, window), (-1, -1), REFINING)
    return np.asarray(refined, dtype=np.float64).reshape(-1, 2)
