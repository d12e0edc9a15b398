"""Whole sets of scenes: built, rendered, developed and written."""

import time
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from samples.making.build import Built, build
from samples.making.card import read_sheets
from samples.making.develop import develop, save_photo
from samples.making.noise import Image
from samples.making.recipe import Scene
from samples.making.render import render, start_renderer
from samples.making.stage import set_stage
from samples.making.truth import truth_of, write_json
from samples.making.variety import random_scene

AHEAD = 2  # scenes built ahead of the renderer, per worker


def draw_scenes(*, first_seed: int, counts: dict[str, int], targets: Path) -> list[Scene]:
    """Scenes with consecutive seeds; `counts` says how many of each kind."""
    diameters = {file: read_sheets(file)[0].outside_diameter_mm for file in targets.glob("*.toml")}
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
        waiting = list(scenes)
        building: list[tuple[Scene, Future[Built]]] = []
        writing: list[Future[str]] = []
        while waiting or building:
            while waiting and len(building) < workers * AHEAD:
                scene = waiting.pop(0)
                building.append(
                    (scene, pool.submit(build, scene, mesh_mm=mesh_mm, texel_mm=texel_mm))
                )
            scene, future = building.pop(0)
            built = future.result()
            began = time.perf_counter()
            light = render(mi, built, samples=samples, seed=scene.seed)
            print(
                f"{scene.name}: {scene.description}: {time.perf_counter() - began:.1f} s",
                flush=True,
            )
            writing.append(
                pool.submit(
                    write_one,
                    light,
                    scene,
                    out,
                    truths,
                    truth_of(built.stage, image=f"{scene.name}.jpg"),
                )
            )
        for done in writing:
            done.result()


def write_truths(scenes: list[Scene], out: Path) -> None:
    """Write the truth files of scenes without making their pictures."""
    out.mkdir(parents=True, exist_ok=True)
    for scene in scenes:
        truth = truth_of(set_stage(scene), image=f"{scene.name}.jpg")
        write_json(out / f"{scene.name}.json", truth)


def write_one(light: Image, scene: Scene, out: Path, truths: Path, truth: dict[str, Any]) -> str:
    """Develop one picture and write it with its truth."""
    how = scene.development
    photo = develop(light, how, rng=np.random.default_rng([scene.seed, 9]))
    name = f"{scene.name}.jpg"
    save_photo(
        photo,
        out / name,
        focal_equiv_mm=scene.view.focal_equiv_mm,
        how=how,
        taken=f"2026:03:{1 + scene.seed % 28:02d} 10:{scene.seed % 60:02d}:00",
    )
    write_json(truths / f"{scene.name}.json", truth)
    return name
