"""A printed target: read from its target file, drawn, and laid on the metal."""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats, Image, field
from samples.making.print_art import print_art

Box: TypeAlias = tuple[float, float, float, float]

FINEST_PX_PER_MM = 40.0
WIDEST_DRAWING_PX = 12000
WEDGE = 16  # sub-pixel steps of cv2.fillPoly's `shift=4`


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """One piece of a target as it is printed and cut.

    Attributes
    ----------
    ids, corners_mm
        (K,) and (K, 4, 2): the piece's markers, in the target's frame (x right, y down).
    paper_mm
        Upright rectangles x0, y0, x1, y1 that the piece's paper is made of.
    joints_mm
        Where a strip is glued of segments, along it.
    """

    file: Path
    piece: int
    dictionary: str
    width_mm: float
    height_mm: float
    thickness_mm: float
    ids: tuple[int, ...]
    corners_mm: Floats
    paper_mm: tuple[Box, ...]
    clock_zero_mm: float | None = None
    clock_sense: int = 1
    outside_diameter_mm: float | None = None
    bore_mm: float | None = None
    joints_mm: tuple[float, ...] = ()

    @property
    def radius_mm(self) -> float | None:
        """Radius of the pipe that it wraps; negative where it lies inside, None on plate."""
        if self.bore_mm is not None:
            return -self.bore_mm / 2
        return None if self.outside_diameter_mm is None else self.outside_diameter_mm / 2

    @property
    def box_mm(self) -> Box:
        """Bounds of the paper; a strip's tail is tucked under, so it ends after one turn."""
        x0, y0, x1, y1 = np.array(self.paper_mm).T
        right = float(x1.max())
        if self.radius_mm is not None:
            right = min(right, 2 * np.pi * abs(self.radius_mm + self.thickness_mm / 2))
        return float(x0.min()), float(y0.min()), right, float(y1.max())

    @property
    def window_mm(self) -> Box | None:
        """The window, or None where there is none."""
        x, y = (np.unique(np.array(self.paper_mm)[:, k::2]) for k in (0, 1))
        middle_x, middle_y = np.meshgrid((x[:-1] + x[1:]) / 2, (y[:-1] + y[1:]) / 2)
        rows, columns = np.nonzero(~self.covers(middle_x, middle_y))
        if len(rows) == 0:
            return None
        return (
            float(x[columns.min()]),
            float(y[rows.min()]),
            float(x[columns.max() + 1]),
            float(y[rows.max() + 1]),
        )

    def covers(self, x_mm: Floats, y_mm: Floats) -> NDArray[np.bool_]:
        """Whether there is paper at points of the target's frame."""
        paper = np.zeros(np.shape(x_mm), dtype=np.bool_)
        for x0, y0, x1, y1 in self.paper_mm:
            paper |= (x_mm > x0) & (x_mm < x1) & (y_mm > y0) & (y_mm < y1)
        return paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """How a sheet lies on the metal: its middle at s, t, turned by an angle, and not quite flat.

    Attributes
    ----------
    lift_mm
        Air between the metal and the sheet.
    bow_mm
        Height of the sheet's middle over its ends (along `bow_axis`, "x" or "y").
    print_scale
        Printed length over nominal length.
    ink_mm
        How far black ink has crept over every edge.
    """

    s_mm: float
    t_mm: float
    angle_deg: float = 0.0
    lift_mm: float = 0.0
    bow_mm: float = 0.0
    bow_axis: str = "x"
    print_scale: float = 1.0
    ink_mm: float = 0.02

    def stz_mm(self, sheet: Sheet, xy_mm: Floats) -> Floats:
        """Points (..., 3) on the metal of points (..., 2) of the sheet's printed face."""
        x0, y0, x1, y1 = sheet.box_mm
        size, middle = np.array([x1 - x0, y1 - y0]), np.array([x0 + x1, y0 + y1]) / 2
        off = (np.asarray(xy_mm) - middle) * self.print_scale * np.array([1.0, -1.0])
        turn = np.radians(self.angle_deg)
        s = self.s_mm + np.cos(turn) * off[..., 0] - np.sin(turn) * off[..., 1]
        t = self.t_mm + np.sin(turn) * off[..., 0] + np.cos(turn) * off[..., 1]
        axis = 0 if self.bow_axis == "x" else 1
        along = 2 * off[..., axis] / (size[axis] * self.print_scale)
        z = sheet.thickness_mm + self.lift_mm + self.bow_mm * (1 - along**2)
        if (radius := sheet.radius_mm) is not None:
            # Wrapped paper keeps its length in the middle of its thickness.
            s = self.s_mm + (s - self.s_mm) * radius / (
                radius + self.lift_mm + sheet.thickness_mm / 2
            )
        return np.stack([s, t, z - min(0.0, self.bow_mm)], axis=-1)


def read_sheets(path: Path) -> tuple[Sheet, ...]:
    """Read a target file: one sheet for each of its pieces."""
    data: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    pieces = sorted({int(m.get("piece", 0)) for m in data["marker"]})
    return tuple(_piece(path, data, piece) for piece in pieces)


def _piece(path: Path, data: dict[str, Any], piece: int) -> Sheet:
    markers = [m for m in data["marker"] if m.get("piece", 0) == piece]
    whole = [{"corners_mm": [[0.0, 0.0], [data["width_mm"], data["height_mm"]]]}]
    paper = [
        np.array(p["corners_mm"], dtype=np.float64)
        for p in data.get("paper", whole)
        if p.get("piece", 0) == piece
    ]
    return Sheet(
        file=path,
        piece=piece,
        dictionary=data["dictionary"],
        width_mm=float(data["width_mm"]),
        height_mm=float(data["height_mm"]),
        thickness_mm=float(data.get("thickness_mm", 0.1)),
        ids=tuple(int(m["id"]) for m in markers),
        corners_mm=np.array([m["corners_mm"] for m in markers], dtype=np.float64),
        paper_mm=tuple((*p.min(axis=0).tolist(), *p.max(axis=0).tolist()) for p in paper),
        clock_zero_mm=data.get("clock_zero_mm"),
        clock_sense=int(data.get("clock_sense", 1)),
        outside_diameter_mm=data.get("outside_diameter_mm"),
        bore_mm=data.get("bore_mm"),
        joints_mm=tuple(float(x) for x in data.get("joints_mm", ())),
    )


def marker_cells(dictionary: str, marker_id: int) -> NDArray[np.bool_]:
    """Black cells of a marker, its one-cell border included."""
    book = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, dictionary))
    size = book.markerSize + 2
    return np.asarray(cv2.aruco.generateImageMarker(book, marker_id, size * 4)[2::4, 2::4] < 128)


def draw_sheet(
    sheet: Sheet, *, ink_mm: float, rng: np.random.Generator, widest_px: int = WIDEST_DRAWING_PX
) -> Image:
    """Draw the sheet's reflectance (rows down the sheet), markers, rule and paper grain."""
    scale = min(FINEST_PX_PER_MM, widest_px / sheet.width_mm)
    shape = (round(sheet.height_mm * scale), round(sheet.width_mm * scale))
    black = np.zeros(shape, dtype=np.uint8)
    art = print_art(sheet.file, shape)
    if art is None:
        _draw_rule(black, sheet, scale)
    else:
        black = np.maximum(black, art)
    for marker_id, corners in zip(sheet.ids, sheet.corners_mm, strict=True):
        _draw_marker(black, marker_cells(sheet.dictionary, marker_id), corners, scale, ink_mm)
    black = cv2.GaussianBlur(black, (0, 0), max(0.3, 0.02 * scale))
    ink = black.astype(np.float32) / 255
    paper = 0.78 + 0.012 * field(rng, shape, cell=(0.25 * scale, 0.25 * scale))
    paper += 0.015 * field(rng, shape, cell=(12 * scale, 12 * scale))
    tone = 0.045 + 0.006 * field(rng, shape, cell=(0.15 * scale, 0.15 * scale))
    return np.clip(paper * (1 - ink) + tone * ink, 0.01, 0.95).astype(np.float32)


def _draw_marker(
    black: NDArray[np.uint8],
    cells: NDArray[np.bool_],
    corners: Floats,
    scale: float,
    ink_mm: float,
) -> None:
    size = len(cells)
    unit = np.array([[0, 0], [size, 0], [size, size], [0, size]], dtype=np.float32)
    place = cv2.getPerspectiveTransform(unit, corners.astype(np.float32))
    side = float(np.linalg.norm(corners[1] - corners[0])) / size
    grow = ink_mm / side
    # The art's own markers go first; then one black block; then the white cells, each smaller
    # by the ink on every black side.
    quiet = 0.6
    _fill(
        black,
        np.array(
            [
                [-quiet, -quiet],
                [size + quiet, -quiet],
                [size + quiet, size + quiet],
                [-quiet, size + quiet],
            ]
        ),
        place,
        scale,
        0,
    )
    _fill(
        black,
        np.array(
            [[-grow, -grow], [size + grow, -grow], [size + grow, size + grow], [-grow, size + grow]]
        ),
        place,
        scale,
        255,
    )
    for row, column in zip(*np.nonzero(~cells), strict=True):
        # A white neighbour is overlapped a little, so that no seam of ink is left between two.
        left = grow if cells[row, column - 1] else -0.02
        right = grow if cells[row, column + 1] else -0.02
        up = grow if cells[row - 1, column] else -0.02
        down = grow if cells[row + 1, column] else -0.02
        box = np.array(
            [
                [column + left, row + up],
                [column + 1 - right, row + up],
                [column + 1 - right, row + 1 - down],
                [column + left, row + 1 - down],
            ]
        )
        _fill(black, box, place, scale, 0)


def _fill(black: NDArray[np.uint8], box: Floats, place: Floats, scale: float, value: int) -> None:
    mm = cv2.perspectiveTransform(box[None].astype(np.float64), place)[0]
    # fillPoly paints the pixels that its outline crosses too: half a pixel off makes it true.
    px = mm * scale - 0.5
    inward = px.mean(axis=0) - px
    px = px + 0.5 * np.sign(inward)
    points = np.round(px * WEDGE).astype(np.int32)
    cv2.fillPoly(black, [points], value, shift=4)


def _draw_rule(black: NDArray[np.uint8], sheet: Sheet, scale: float) -> None:
    room = sheet.height_mm - float(sheet.corners_mm[..., 1].max())
    if room < 5.5:
        return
    for mm in range(int(sheet.width_mm)):
        length = 2.5 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.4
        x, bottom = (mm + 0.0) * scale, sheet.height_mm * scale
        half = 0.06 * scale
        top = bottom - length * scale
        cv2.rectangle(
            black, (round(x - half), round(top)), (round(x + half), round(bottom)), 255, -1
        )
        if mm % 10 == 0 and 0 < mm < sheet.width_mm - 5 and room > 7:
            spot = (round(x + 0.4 * scale), round(bottom - 2.6 * scale))
            cv2.putText(
                black,
                str(mm),
                spot,
                cv2.FONT_HERSHEY_SIMPLEX,
                scale / 16,
                255,
                max(1, round(0.2 * scale)),
                cv2.LINE_AA,
            )
