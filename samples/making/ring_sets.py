"""Rings: pipe coupons photographed all the way round, rendered with the truth of the whole."""

from pathlib import Path

from samples.making.build import build, under_another_camera
from samples.making.noise import Image
from samples.making.render import render, start_renderer
from samples.making.ring_photos import Ring
from samples.making.ring_truth import ring_truth
from samples.making.sets import coupons_of, write_one
from samples.making.stage import set_stage
from samples.making.truth import truth_of, write_json

MESH_MM = 0.07
TEXEL_MM = 0.07


def make_ring(
    ring: Ring, out: Path, *, samples: int, variant: str | None = None, shrink: int = 1
) -> None:
    """Render a ring's photos into a folder, with `ring.json` beside them."""
    out.mkdir(parents=True, exist_ok=True)
    write_json(out / "ring.json", ring_truth(ring))
    mi = start_renderer(variant)
    scenes = [shot.scene for shot in ring.shots]
    for shots in coupons_of(sorted(scenes, key=lambda scene: scene.seed)):
        built = build(shots[0], mesh_mm=MESH_MM * shrink, texel_mm=TEXEL_MM * shrink)
        for scene in shots:
            built = under_another_camera(built, scene)
            light: Image = render(mi, built, samples=samples, seed=scene.seed + 1000 * scene.shot)
            name = write_one(light, built.stage, built.heights, out, out)
            print(f"{out.name}/{name}", flush=True)


def write_ring_truths(ring: Ring, out: Path) -> None:
    """Write the truth of a ring and of its photos without making the pictures."""
    out.mkdir(parents=True, exist_ok=True)
    write_json(out / "ring.json", ring_truth(ring))
    for shot in ring.shots:
        truth = truth_of(set_stage(shot.scene), image=f"{shot.scene.name}.jpg")
        write_json(out / f"{shot.scene.name}.json", truth)
