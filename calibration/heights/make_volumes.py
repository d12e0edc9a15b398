"""Turn rendered pairs into what the height network learns from: comparisons and true heights.

    python -m samples.making heights --kind pair --first-seed N --count K --out SET
    python calibration/heights/make_volumes.py SET --first-seed N --count K --out FOLDER --jobs 16

What is there already is not made again.

Each coupon is drawn again from its seed, so that its height is known everywhere. A point of its top
is seen by the true cameras, and where the sight lines of the solved ones meet is the height to be
told: what a solved pose, a print or a bowed card puts heights off by is none of the network's
business.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import BeadcheckError, BeadError
from beadcheck.photo import read_photo
from beadcheck.profiles.pair import PairView, band_along_target
from beadcheck.profiles.pair.comparison import comparison
from beadcheck.profiles.pair.layout import Layout, laid_out
from beadcheck.profiles.pair.triangulate import meeting_points
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target
from beadcheck.toes import LocatedWeld, Toes, follow_weld, locate_weld, stations
from samples.making.height_sets import draw_height_scenes
from samples.making.recipe import Scene
from samples.making.relief import make_relief
from samples.making.stage import set_stage
from samples.making.top import On, Top

Floats = NDArray[np.float64]

MESH_MM: Final = 0.08
"""Grid of the relief, as the renderer's."""
POINT_MM: Final = 0.1
"""True points lie this far apart."""
BESIDE_MM: Final = 14.0
"""As far beside the weld, and past its ends, as photos are compared, and more."""
FEWEST_POINTS: Final = 3
NOTHING, METAL, WELD = 0, 1, 2
"""What a cell's true height is of; paper, steps and magnets are nothing."""


def main() -> None:
    """Make the volumes of a set of rendered coupons."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("set", type=Path)
    parser.add_argument("--first-seed", type=int, required=True)
    parser.add_argument("--count", type=int, required=True)
    parser.add_argument("--targets", type=Path, default=Path("calibration"))
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--jobs", type=int, default=2)
    asked = parser.parse_args()
    scenes = draw_height_scenes(
        kind="pair",
        first_seed=asked.first_seed,
        count=asked.count,
        refusals=0,
        targets=asked.targets,
    )
    coupons: dict[str, list[Scene]] = {}
    for scene in scenes:
        if (asked.set / f"{scene.name}.jpg").exists():
            coupons.setdefault(scene.coupon, []).append(scene)
    asked.out.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(asked.jobs, mp_context=get_context("spawn")) as pool:
        one = partial(_write, folder=asked.set, targets=asked.targets, out=asked.out)
        for line in pool.map(one, [shots for shots in coupons.values() if len(shots) > 1]):
            print(line, flush=True)


def _write(shots: list[Scene], *, folder: Path, targets: Path, out: Path) -> str:
    cv2.setNumThreads(1)
    done = 0
    for order in (shots, shots[::-1]):
        if list(out.glob(f"{order[0].seed}-{order[0].name[-1]}*.npz")):
            continue
        try:
            for number, (planes, heights, kinds) in enumerate(_pairs(order, folder, targets)):
                np.savez(
                    out / f"{order[0].seed}-{order[0].name[-1]}{number}.npz",
                    planes=planes.astype(np.float16),
                    heights=heights.astype(np.float32),
                    kinds=kinds,
                )
                done += 1
        except (BeadcheckError, ValueError) as refusal:
            return f"{shots[0].seed}: {done} made, {type(refusal).__name__}"
    return f"{shots[0].seed}: {done} made"


def _pairs(
    shots: list[Scene], folder: Path, targets: Path
) -> Iterator[tuple[NDArray[np.float32], Floats, NDArray[np.uint8]]]:
    """What each pair with the first photo shows, and the truth of its cells."""
    truth = json.loads((folder / f"{shots[0].name}.json").read_text(encoding="utf-8"))
    views, weld, toes = _views(shots, folder, targets, truth)
    layout = laid_out(views, coupon=_coupon(truth), weld=weld, toes=toes)
    stages = [set_stage(shots[views.index(view)]) for view in layout.views]
    points, what = _points(Top(stage=stages[0], heights=make_relief(stages[0], mesh_mm=MESH_MM)))
    pixels = [stage.camera.project(stage.shape.xyz_mm(points)) for stage in stages]
    for number in range(1, len(stages)):
        planes = comparison(layout, layout.casts[0], layout.casts[number])
        yield planes, *_in_cells(layout, number, (pixels[0], pixels[number]), what)


def _points(top: Top) -> tuple[Floats, NDArray[np.int8]]:
    """(N, 3) points of the top about the weld in the metal's frame, and what they lie on."""
    weld = top.stage.weld
    s_mm, t_mm = top.stage.scene.metal.span_mm[:2], (0.0, 0.0)
    if weld is not None:
        s_mm = weld.s_range_mm
        low, high = weld.toes_mm(np.arange(*s_mm, 0.2))
        t_mm = float(np.nanmin(low)), float(np.nanmax(high))
    s, t = np.meshgrid(
        np.arange(s_mm[0] - BESIDE_MM, s_mm[1] + BESIDE_MM, POINT_MM),
        np.arange(t_mm[0] - BESIDE_MM, t_mm[1] + BESIDE_MM, POINT_MM),
    )
    z, on = top.look(s, t)
    return np.stack([s, t, z], axis=-1).reshape(-1, 3), on.ravel()


def _in_cells(
    layout: Layout, number: int, pixels: tuple[Floats, Floats], what: NDArray[np.int8]
) -> tuple[Floats, NDArray[np.uint8]]:
    """Mean true height of each cell as the solved cameras tell it, and what it is of."""
    surfaces = layout.joint.surfaces[0], layout.joint.surfaces[number]
    seen = np.isfinite(pixels[0]).all(axis=1) & np.isfinite(pixels[1]).all(axis=1)
    places, heights = surfaces[0].over_surface(
        meeting_points(surfaces, [points[seen] for points in pixels])
    )
    s_mm, across_mm = layout.axis.to_weld(places).T
    cells = layout.cells
    across_cell, along_cell = cells.size_mm
    row = np.round((across_mm - cells.across_mm[0]) / across_cell)
    column = np.round((s_mm - cells.s_mm[0]) / along_cell)
    rows, columns = cells.shape
    inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
    inside &= np.isfinite(heights)
    at = (row[inside] * columns + column[inside]).astype(np.intp)

    def counted(weights: Floats) -> Floats:
        return np.bincount(at, weights, rows * columns).reshape(rows, columns)

    here, on = heights[inside], what[seen][inside]
    points, total = counted(np.ones(at.size)), counted(here)
    kinds = np.where(counted((on == On.BEAD) * 1.0) > 0.5 * points, WELD, METAL)
    bare = counted(((on == On.BEAD) | (on == On.BASE)) * 1.0) == points
    kinds[(points < FEWEST_POINTS) | ~bare | ~layout.shown | layout.covered] = NOTHING
    return total / np.maximum(points, 1.0), kinds.astype(np.uint8)


def _views(
    shots: list[Scene], folder: Path, targets: Path, truth: dict
) -> tuple[tuple[PairView, ...], LocatedWeld, Toes | None]:
    design = read_target(targets / truth["cards"][0]["target_file"])
    views = []
    for shot in shots:
        photo = read_photo(folder / f"{shot.name}.jpg")
        found = find_target(photo, [design])
        surface = solve_surface(found, photo, _coupon(truth), print_scale(design, None))
        views.append(PairView(photo=photo, found=found, surface=surface))
    photo, surface = views[0].photo, views[0].surface
    try:
        weld = locate_weld(photo, surface)
        followed = follow_weld(photo, surface, weld)
        return (
            tuple(views),
            replace(weld, axis=followed.bead.axis),
            stations(followed, surface),
        )
    except BeadError:
        return tuple(views), band_along_target(photo, surface), None


def _coupon(truth: dict) -> Coupon:
    diameter = truth["surface"]["outside_diameter_mm"]
    return Coupon(
        shape=Shape.PLATE if diameter is None else Shape.PIPE, outside_diameter_mm=diameter
    )


if __name__ == "__main__":
    main()
