"""Target files, format ``beadcheck-target/1``: writing."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.target.design import TargetDesign, WrapAxis
from beadcheck.target.read import FORMAT

_SAFE: Final = str.maketrans({'"': "'", "\\": "/"})


def target_toml(design: TargetDesign) -> str:
    """Text of the target file of a design; `read_target` gives the same design back."""
    lines = [
        f'format = "{FORMAT}"',
        f'name = "{design.name.translate(_SAFE)}"',
        f'dictionary = "{design.dictionary}"',
        f"width_mm = {design.width_mm}",
        f"height_mm = {design.height_mm}",
        f"thickness_mm = {design.thickness_mm}",
    ]
    if design.wraps is not WrapAxis.X:
        lines.append(f'wraps = "{design.wraps}"')
    if design.check_bar_mm is not None:
        lines.append(f"check_bar_mm = {design.check_bar_mm}")
    if design.outside_diameter_mm is not None:
        lines.append(f"outside_diameter_mm = {design.outside_diameter_mm}")
    if design.bore_mm is not None:
        lines.append(f"bore_mm = {design.bore_mm}")
    if design.clock_zero_mm is not None:
        lines.append(f"clock_zero_mm = {design.clock_zero_mm}")
        lines.append(f"clock_sense = {design.clock_sense}")
    if design.joints_mm:
        lines.append(f"joints_mm = [{', '.join(map(str, design.joints_mm))}]")
    if design.step_corners_mm is not None:
        lines.append(f"step_corners_mm = {_points(design.step_corners_mm)}")
    for marker in design.markers:
        lines += ["", "[[marker]]", f"id = {marker.id}"]
        lines += _piece_and_corners(marker.piece, marker.corners_mm)
    for patch in design.paper:
        lines += ["", "[[paper]]", *_piece_and_corners(patch.piece, patch.corners_mm)]
    return "\n".join(lines) + "\n"


def _piece_and_corners(piece: int, corners_mm: NDArray[np.float64]) -> list[str]:
    corners = f"corners_mm = {_points(corners_mm)}"
    return [f"piece = {piece}", corners] if piece else [corners]


def _points(corners_mm: NDArray[np.float64]) -> str:
    return f"[{', '.join(f'[{x}, {y}]' for x, y in np.round(corners_mm, 6).tolist())}]"
