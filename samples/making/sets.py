"""Whole sets of scenes: built, rendered, developed and written."""

import time
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from samples.making.build import Built, build, under_another_camera
from samples.making.card import read_sheets
from samples.making.develop import develop, save_photo
from samples.making.noise import Image
from samples.making.recipe import Scene
from samples.making.relief import Relief, make_relief
from samples.making.render import render, start_renderer
from samples.making.stage import Stage, set_stage
from samples.making.truth import truth_of, write_json
from samples.making.truth_heights import height_truth
from samples.making.variety import random_scene

AHEAD = 2  # scenes built ahead of the renderer, per worker


def draw_scenes(*, first_seed: int, counts: dict[str, int], targets: Path) -> list[Scene]:
    """Scenes with consecutive seeds; `counts` says how many of each kind."""
    sheets = {file: read_sheets(file)[0] for file in targets.glob("*.toml")}
    diameters = {
        file: sheet.outside_diameter_mm for file, sheet in sheets.items() if sheet.bore_mm is None
    }
    plate_files = tuple(sorted(file for file, od in diameters.items() if od is None))
    pipe_files = {od: file for file, od in diameters.items() if od is not None}
    kinds = [kind for kind, count in counts.items() for _ in range(count)]
    return [
        random_scene(
            f"{k:03d}", first_seed + k, kind=kind, plate_files=plate_files, pipe_files=pipe_files
        )
        for k, kind in enumerate(kinds)
    ]


def make_set(
    scenes: list[Scene],
    out: Path,
    *,
    truth_dir: Path | None = None,
    samples: int,
    workers: int = 1,
    variant: str | None = None,
    mesh_mm: float = 0.08,
    texel_mm: float = 0.05,
) -> None:
    """Render scenes into `out` (photos) and `truth_dir` (JSON; `out` if None)."""
    mi = start_renderer(variant)
    out.mkdir(parents=True, exist_ok=True)
    truths = truth_dir or out
    truths.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        waiting = coupons_of(scenes)
        building: list[tuple[list[Scene], Future[Built]]] = []
        writing: list[Future[str]] = []
        while waiting or building:
            while waiting and len(building) < workers * AHEAD:
                shots = waiting.pop(0)
                building.append(
                    (shots, pool.submit(build, shots[0], mesh_mm=mesh_mm, texel_mm=texel_mm))
                )
            shots, future = building.pop(0)
            built = future.result()
            for scene in shots:
                built = under_another_camera(built, scene)
                began = time.perf_counter()
                light = render(mi, built, samples=samples, seed=scene.seed + 1000 * scene.shot)
                print(
                    f"{scene.name}: {scene.description}: {time.perf_counter() - began:.1f} s",
                    flush=True,
                )
                writing.append(
                    pool.submit(write_one, light, built.stage, built.heights, out, truths)
                )
        for done in writing:
            done.result()


def coupons_of(scenes: list[Scene]) -> list[list[Scene]]:
    """Scenes grouped by coupon: neighbours that differ in nothing but how they are photographed."""
    groups: list[list[Scene]] = []
    for scene in scenes:
        if groups and _coupon_alone(groups[-1][0]) == _coupon_alone(scene):
            groups[-1].append(scene)
        else:
            groups.append([scene])
    return groups


def _coupon_alone(scene: Scene) -> tuple[object, ...]:
    return (
        scene.seed,
        scene.metal,
        scene.passes,
        scene.laid,
        scene.magnets,
        scene.lighting,
        scene.viewer_azimuth,
        scene.viewer_azimuth is None and scene.view,
        scene.backdrop,
        scene.table,
    )


def write_truths(scenes: list[Scene], out: Path, *, mesh_mm: float) -> None:
    """Write the truth files of scenes without making their pictures."""
    out.mkdir(parents=True, exist_ok=True)
    for scene in scenes:
        stage = set_stage(scene)
        heights = make_relief(stage, mesh_mm=mesh_mm)
        write_json(out / f"{scene.name}.json", whole_truth(stage, heights))


def whole_truth(stage: Stage, heights: Relief) -> dict[str, Any]:
    """The truth of a scene, with heights where its photo is taken for them."""
    truth = truth_of(stage, image=f"{stage.scene.name}.jpg")
    return truth if stage.scene.kind == "face" else truth | height_truth(stage, heights)


def write_one(light: Image, stage: Stage, heights: Relief, out: Path, truths: Path) -> str:
    """Develop one picture and write it with its truth."""
    scene = stage.scene
    how = scene.development
    photo = develop(light, how, rng=np.random.default_rng([scene.seed, 9, scene.shot]))
    name = f"{scene.name}.jpg"
    save_photo(
        photo,
        out / name,
        focal_equiv_mm=scene.view.focal_equiv_mm,
        how=how,
        taken=f"2026:03:{1 + scene.seed % 28:02d} 10:{scene.seed % 60:02d}:00",
    )
    write_json(truths / f"{scene.name}.json", whole_truth(stage, heights))
    return name
