"""Straighten welds whose toes are known, for the toe placer to learn from.

    python calibration/finder/make_toe_maps.py renders SET ... --split SET
        --out FOLDER/render-maps.npz
    python calibration/finder/make_toe_maps.py real PHOTOS --out FOLDER/real-maps.npz
    python calibration/finder/make_toe_maps.py drawn FOLDER/drawn-11.npz --out FOLDER/drawn-maps.npz

A set is one that `python -m samples.making set` wrote; PHOTOS holds the photographs that
`real_welds.json` labels. Held-out scenes and photographs are marked as judging only. Toes of drawn
scenes are followed through their true shares of weld, as the tracer follows them through a
likelihood. Needs beadcheck, no torch.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from drawn_set import DrawnScene, load_drawn
from numpy.typing import NDArray
from real_welds import RealWeld, read_labels
from render_set import (
    FULL_WIDTH_SHARE,
    HELD_OUT,
    TrueToes,
    read_toes,
    scene_number,
    split_photos,
)
from toe_map import ToeMap, save_maps

from beadcheck.beadmap import Axis, bead_map
from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import BeadcheckError
from beadcheck.photo import Photo, read_photo
from beadcheck.surface import Surface, print_scale, solve_surface, unscaled_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target
from beadcheck.toes.trace import TracedWeld, follow_toes

SHIPPED_TARGETS: Final = Path(__file__).parents[1]
BEYOND_ENDS_MM: Final = 1.0
MOST_WIDTH_PX: Final = 190.0
"""Maps are no finer than this weld width: the placer sees at most 165 px."""
LEAST_REAL_PX: Final = 8.0
REACH_WIDTHS: Final = 1.6
"""A map reaches this many weld widths to either side of the weld's middle."""
DRAWN_WIDTHS_PX: Final = (14.0, 150.0)
LEAST_DRAWN_PX2: Final = 800
LEAST_SLENDER: Final = 1.5
LEAST_COLUMNS: Final = 70
CLEAR_OF_EDGE_PX: Final = 6.0
DRAWN_PITCH_MM: Final = 0.1
"""Stands in for the size of a drawn scene's pixels, which have none."""


def straightened_render(photo: Path, target: Path | None) -> ToeMap | None:
    """Straighten a rendered photo's weld, or return None where it has none.

    Raises
    ------
    BeadcheckError
        The target is not found or the surface not solved.
    """
    truth = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
    toes = read_toes(truth, only_in_view=True)
    if toes is None:
        return None
    design = read_target(target or _target_of(photo, truth["cards"][0]["target_file"]))
    picture = read_photo(photo)
    diameter_mm = truth["surface"]["outside_diameter_mm"]
    coupon = Coupon(
        shape=Shape.PIPE if diameter_mm else Shape.PLATE, outside_diameter_mm=diameter_mm
    )
    found = find_target(picture, (design,))
    surface = solve_surface(found, picture, coupon, print_scale(design, None))
    return _level_map(picture, surface, toes)


def _level_map(photo: Photo, surface: Surface, toes: TrueToes) -> ToeMap:
    """Map the surface along the weld, and both true toes in it."""
    lines = [surface.to_mm(points) for points in (toes.low_px, toes.high_px)]
    on_surface = np.isfinite(lines[0] + lines[1]).all(axis=1)
    low, high = (line[on_surface] for line in lines)
    axis = _axis_along(0.5 * (low + high), on_pipe=toes.on_pipe)
    left, right = sorted(
        (axis.to_weld(line) for line in (low, high)), key=lambda toe: float(np.median(toe[:, 1]))
    )
    left, right = (toe[np.argsort(toe[:, 0])] for toe in (left, right))
    width_mm = float(np.median(right[:, 1]) - np.median(left[:, 1]))
    first_mm, last_mm = max(left[0, 0], right[0, 0]), min(left[-1, 0], right[-1, 0])
    bead = bead_map(
        photo,
        surface,
        axis,
        s_range_mm=(first_mm - BEYOND_ENDS_MM, last_mm + BEYOND_ENDS_MM),
        across_range_mm=(-REACH_WIDTHS * width_mm, REACH_WIDTHS * width_mm),
        px_per_mm=min(surface.px_per_mm, MOST_WIDTH_PX / width_mm),
    )
    left_mm, right_mm = (np.interp(bead.s_mm, toe[:, 0], toe[:, 1]) for toe in (left, right))
    known = (bead.s_mm > first_mm) & (bead.s_mm < last_mm)
    known &= right_mm - left_mm > FULL_WIDTH_SHARE * width_mm
    return ToeMap(
        bgr=bead.bgr,
        left_row=(left_mm - bead.across_mm[0]) * bead.px_per_mm,
        right_row=(right_mm - bead.across_mm[0]) * bead.px_per_mm,
        known=known,
        width_px=width_mm * bead.px_per_mm,
    )


def _target_of(photo: Path, name: str) -> Path:
    """Target file beside the photo, else the one that is shipped."""
    beside = photo.parent / "targets" / name
    return beside if beside.exists() else SHIPPED_TARGETS / name


def _axis_along(middle_mm: NDArray[np.float64], *, on_pipe: bool) -> Axis:
    """Straight line along the weld's middle; which of its ends comes first does not matter here."""
    centre = middle_mm.mean(axis=0)
    if on_pipe:
        return Axis(origin_mm=(0.0, float(centre[1])), direction=(1.0, 0.0), across=(0.0, 1.0))
    along = np.linalg.eigh(np.cov((middle_mm - centre).T))[1][:, 1]
    return Axis(
        origin_mm=(float(centre[0]), float(centre[1])),
        direction=(float(along[0]), float(along[1])),
        across=(-float(along[1]), float(along[0])),
    )


def straightened_real(photo: Photo, weld: RealWeld, *, judging: bool) -> ToeMap | None:
    """Straighten a weld whose toes a reader drew; None where it is too small.

    Narrow welds are enlarged, as they are where a photo without a target is measured.
    """
    first, second = weld.even_toes()
    middle = 0.5 * (first + second)
    width_px = float(np.median(np.hypot(*(second - first).T)))
    length_px = float(np.hypot(*np.diff(middle, axis=0).T).sum())
    if width_px < LEAST_REAL_PX or length_px < LEAST_SLENDER * width_px:
        return None
    surface = unscaled_surface(middle, np.ones(len(middle)), width_px, 2.0 * width_px)
    toes = [surface.to_mm(toe) for toe in (first, second)]
    left, right = sorted(toes, key=lambda toe: float(np.median(toe[:, 1])))
    left, right = (toe[np.argsort(toe[:, 0])] for toe in (left, right))
    first_mm, last_mm = max(left[0, 0], right[0, 0]), min(left[-1, 0], right[-1, 0])
    width_mm = width_px / surface.px_per_unit
    bead = bead_map(
        photo,
        surface,
        Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
        s_range_mm=(first_mm, last_mm),
        across_range_mm=(-REACH_WIDTHS * width_mm, REACH_WIDTHS * width_mm),
        px_per_mm=min(surface.px_per_mm, MOST_WIDTH_PX / width_mm),
    )
    rows = [
        (np.interp(bead.s_mm, toe[:, 0], toe[:, 1]) - bead.across_mm[0]) * bead.px_per_mm
        for toe in (left, right)
    ]
    middle_row = 0.5 * (rows[0] + rows[1])
    columns = np.arange(bead.s_mm.size)
    known = bead.seen[np.round(middle_row).astype(int), columns]
    middle_mm = middle_row / bead.px_per_mm + bead.across_mm[0]
    places = surface.to_px(np.stack([bead.s_mm, middle_mm], axis=1))
    for area in weld.unsure_px:
        outline = area.astype(np.float32)
        known &= [
            cv2.pointPolygonTest(outline, (float(x), float(y)), measureDist=False) < 0
            for x, y in places
        ]
    if columns.size < LEAST_COLUMNS or known.mean() < 0.2:
        return None
    return ToeMap(
        bgr=bead.bgr,
        left_row=rows[0],
        right_row=rows[1],
        known=known,
        width_px=width_mm * bead.px_per_mm,
        judging=judging,
    )


def straightened_drawing(scene: DrawnScene) -> ToeMap | None:
    """Straighten a drawn scene's largest weld; None where it is too small, stubby or unclear."""
    points = _largest_weld(scene.weld)
    if len(points) < LEAST_DRAWN_PX2:
        return None
    centre = points.mean(axis=0)
    spread, ways = np.linalg.eigh(np.cov((points - centre).T))
    width_px, length_px = np.sqrt(12 * spread)
    if length_px < LEAST_SLENDER * width_px:
        return None
    if not DRAWN_WIDTHS_PX[0] <= width_px <= DRAWN_WIDTHS_PX[1]:
        return None
    zoom = max(0.6, min(1.6, 72 / width_px)) if width_px < 45 else 1.0
    size = (int(3.2 * width_px * zoom), int(length_px * 1.05 * zoom))
    if size[1] < LEAST_COLUMNS:
        return None
    along = ways[:, 1] if ways[0, 1] > 0 else -ways[:, 1]
    x, y = _level_grid(centre, along, size, zoom)
    picture = cv2.remap(scene.codes.transpose(1, 2, 0).copy(), x, y, cv2.INTER_LINEAR)
    weld = scene.weld.astype(np.float32) / np.float32(255)
    share = np.asarray(cv2.remap(weld, x, y, cv2.INTER_LINEAR), dtype=np.float32)
    last = scene.weld.shape[0] - 1
    seen = (x >= 0) & (x <= last) & (y >= 0) & (y <= last)
    share[~seen] = 0
    return _map_of(np.asarray(picture, dtype=np.uint8), share, seen, width_px * zoom)


def _largest_weld(weld: NDArray[np.uint8]) -> NDArray[np.float64]:
    """(N, 2) x, y of the pixels of the largest patch of weld."""
    _, labels, figures, _ = cv2.connectedComponentsWithStats((weld > 127).astype(np.uint8))
    if len(figures) < 2:
        return np.empty((0, 2))
    rows, columns = np.nonzero(labels == 1 + int(figures[1:, cv2.CC_STAT_AREA].argmax()))
    return np.stack([columns, rows], axis=1).astype(np.float64)


def _level_grid(
    centre: NDArray[np.float64], along: NDArray[np.float64], size: tuple[int, int], zoom: float
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Columns and rows of the scene under each point of a level map of (rows, columns)."""
    right = (np.arange(size[1]) - size[1] / 2)[None, :] / zoom
    down = (np.arange(size[0]) - size[0] / 2)[:, None] / zoom
    x = centre[0] + along[0] * right - along[1] * down
    y = centre[1] + along[1] * right + along[0] * down
    return x.astype(np.float32), y.astype(np.float32)


def _map_of(
    picture: NDArray[np.uint8],
    share: NDArray[np.float32],
    seen: NDArray[np.bool_],
    width_px: float,
) -> ToeMap | None:
    """Follow both toes through the true share of weld; None where few places are clear."""
    rows, columns = share.shape
    traced = follow_toes(
        share,
        seen,
        s_mm=np.arange(columns, dtype=np.float64) * DRAWN_PITCH_MM,
        across_mm=np.arange(rows, dtype=np.float64) * DRAWN_PITCH_MM,
        core_mm=(0.0, columns * DRAWN_PITCH_MM),
        width_mm=width_px * DRAWN_PITCH_MM,
    )
    left, right = (toe.across_mm / DRAWN_PITCH_MM for toe in (traced.left, traced.right))
    known = _clear(traced)
    for toe, away in ((left, -CLEAR_OF_EDGE_PX), (right, CLEAR_OF_EDGE_PX)):
        beyond = np.clip(np.round(toe + away).astype(int), 0, rows - 1)
        known &= seen[beyond, np.arange(columns)]
    if known.mean() < 0.5:
        return None
    width = float(np.median((right - left)[known]))
    return ToeMap(bgr=picture, left_row=left, right_row=right, known=known, width_px=width)


def _clear(traced: TracedWeld) -> NDArray[np.bool_]:
    clear = traced.middle_likelihood > 0.95
    for toe in (traced.left, traced.right):
        clear &= (toe.contrast > 0.93) & (toe.softness_mm < 2.5 * DRAWN_PITCH_MM)
    return clear


def straighten_renders(asked: argparse.Namespace) -> list[ToeMap]:
    """Straighten each photo of the sets that shows a weld."""
    maps = []
    for photo in [photo for folder in asked.sources for photo in split_photos(folder, ())[0]]:
        judging = photo.parent in asked.split and scene_number(photo) in HELD_OUT
        try:
            weld = straightened_render(photo, asked.target)
        except BeadcheckError as refusal:
            print(f"{photo.name}: left out: {refusal}")
            continue
        if weld is not None:
            maps.append(replace(weld, judging=judging))
    return maps


def straighten_real(asked: argparse.Namespace) -> list[ToeMap]:
    """Straighten each weld with toes of the labelled photographs."""
    maps = []
    for labelled in read_labels():
        photo = read_photo(asked.sources[0] / labelled.file)
        welds = [weld for weld in labelled.welds if weld.has_toes]
        maps += [straightened_real(photo, weld, judging=labelled.held_out) for weld in welds]
    return [weld for weld in maps if weld is not None]


def straighten_drawings(asked: argparse.Namespace) -> list[ToeMap]:
    """Straighten each drawn scene that has a clear weld."""
    maps = [straightened_drawing(scene) for scene in load_drawn(asked.sources)]
    return [weld for weld in maps if weld is not None]


def main() -> None:
    """Read the command line and straighten."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    jobs = parser.add_subparsers(dest="job", required=True)
    renders = jobs.add_parser("renders", help="sets of rendered photos")
    renders.add_argument("--target", type=Path, help="default: what the truth names")
    renders.add_argument(
        "--split", type=Path, nargs="*", default=[], help="sets whose held-out scenes only judge"
    )
    real = jobs.add_parser("real", help="the folder of labelled photographs")
    drawn = jobs.add_parser("drawn", help="files of drawn_set.py")
    straighten = {
        "renders": straighten_renders,
        "real": straighten_real,
        "drawn": straighten_drawings,
    }
    for job in (renders, real, drawn):
        job.add_argument("sources", type=Path, nargs="+")
        job.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    maps = straighten[asked.job](asked)
    save_maps(maps, asked.out)
    print(f"{len(maps)} maps, {sum(weld.judging for weld in maps)} of them only judge")


if __name__ == "__main__":
    main()
