"""``python -m samples.making``: make the sample photos, or a set of random scenes."""

import argparse
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from samples.making.bench_phone import make_bench_phone
from samples.making.height_sets import HEIGHT_KINDS, draw_height_scenes
from samples.making.metrology import make_metrology
from samples.making.photos import sample_scenes
from samples.making.photos_root import make_root_side
from samples.making.recipe import Scene
from samples.making.ring_coupons import KINDS, Flaws
from samples.making.ring_photos import draw_ring
from samples.making.ring_sets import make_ring, write_ring_truths
from samples.making.sets import draw_scenes, make_set, write_truths

FINE_MESH_MM = 0.05  # of the sample photos
TARGET_ALONE = {"metrology": make_metrology, "bench-phone": make_bench_phone}


def main() -> None:
    """Parse the command line and make what it asks for."""
    parser = argparse.ArgumentParser(prog="python -m samples.making", description=__doc__)
    parser.add_argument("--renderer", help="Mitsuba variant; default: the first that works")
    parser.add_argument("--workers", type=int, default=1, help="processes that build scenes")
    jobs = parser.add_subparsers(dest="job", required=True)
    random = jobs.add_parser("set", help="random scenes with consecutive seeds")
    random.add_argument("--out", type=Path, required=True)
    random.add_argument("--targets", type=Path, required=True, help="folder of target files")
    random.add_argument("--first-seed", type=int, required=True)
    random.add_argument("--plates", type=int, default=0)
    random.add_argument("--pipes", type=int, default=0)
    random.add_argument("--negatives", type=int, default=0)
    random.add_argument("--samples", type=int, default=32, help="light paths per pixel")
    random.add_argument("--only", help="comma list of scene numbers")
    heights = jobs.add_parser("heights", help="random photos for heights, with consecutive seeds")
    heights.add_argument("--kind", choices=HEIGHT_KINDS, required=True)
    heights.add_argument("--out", type=Path, required=True)
    heights.add_argument("--targets", type=Path, default=Path("calibration"))
    heights.add_argument("--first-seed", type=int, required=True)
    heights.add_argument("--count", type=int, default=12, help="coupons")
    heights.add_argument("--refusals", type=int, default=0, help="coupons that must be refused")
    heights.add_argument("--samples", type=int, default=12, help="light paths per pixel")
    heights.add_argument(
        "--shrink", type=int, default=1, help="make trial pictures this much smaller"
    )
    heights.add_argument("--only", help="comma list of names")
    photos = jobs.add_parser("photos", help="the sample photos and their truth")
    photos.add_argument("--out", type=Path, default=Path("samples"))
    photos.add_argument("--targets", type=Path, default=Path("calibration"))
    photos.add_argument("--samples", type=int, default=160, help="light paths per pixel")
    photos.add_argument(
        "--shrink", type=int, default=1, help="make trial pictures this much smaller"
    )
    photos.add_argument("--truth-only", action="store_true", help="no pictures; needs no Mitsuba")
    photos.add_argument("--only", help="comma list of names")
    bare = jobs.add_parser("metrology", help="pictures of a target alone, cast analytically")
    bare.add_argument("--out", type=Path, required=True)
    phone = jobs.add_parser("bench-phone", help="photos of the card to calibrate a camera from")
    phone.add_argument("--out", type=Path, default=Path("samples/bench-phone"))
    for job in (bare, phone):
        job.add_argument("--target", type=Path, default=Path("calibration/plate-card.toml"))
    root = jobs.add_parser("root-side", help="a photo of the root through a pipe's open end")
    root.add_argument("--out", type=Path, default=Path("samples/pipe-root-side"))
    root.add_argument("--targets", type=Path, default=Path("calibration"))
    root.add_argument("--samples", type=int, default=64, help="light paths per pixel")
    _add_rings(jobs)
    choice = parser.parse_args()
    if choice.job in TARGET_ALONE:
        TARGET_ALONE[choice.job](choice.target, choice.out)
        return
    if choice.job == "root-side":
        make_root_side(choice.targets, choice.out, samples=choice.samples, variant=choice.renderer)
        return
    {"set": _set, "photos": _photos, "heights": _heights, "rings": _rings}[choice.job](choice)


def _set(choice: argparse.Namespace) -> None:
    counts = {"plate": choice.plates, "pipe": choice.pipes, "negative": choice.negatives}
    scenes = draw_scenes(first_seed=choice.first_seed, counts=counts, targets=choice.targets)
    if choice.only:
        wanted = {int(k) for k in choice.only.split(",")}
        scenes = [scene for k, scene in enumerate(scenes) if k in wanted]
    make_set(
        scenes, choice.out, samples=choice.samples, workers=choice.workers, variant=choice.renderer
    )


def _add_rings(jobs: Any) -> None:
    rings = jobs.add_parser("rings", help="one pipe coupon photographed all the way round")
    rings.add_argument("--kind", choices=sorted(KINDS), required=True)
    rings.add_argument("--out", type=Path, required=True)
    rings.add_argument("--targets", type=Path, default=Path("calibration"))
    rings.add_argument("--seed", type=int, required=True)
    rings.add_argument("--samples", type=int, default=12, help="light paths per pixel")
    rings.add_argument("--shrink", type=int, default=1, help="make trial pictures so much smaller")
    rings.add_argument("--quality", type=int, help="of the JPEG files; default: the phone's")
    rings.add_argument("--truth-only", action="store_true", help="no pictures; needs no Mitsuba")
    rings.add_argument("--small-print", action="store_true", help="the strip is printed 1 %% small")
    rings.add_argument(
        "--diameter-off", type=int, choices=(-1, 0, 1), default=0, help="per cent off the entered"
    )
    rings.add_argument("--slack", action="store_true", help="the strip stands off the metal")
    rings.add_argument("--missing", action="store_true", help="one photo is missing")
    rings.add_argument("--duplicate", action="store_true", help="one photo is taken twice")
    rings.add_argument("--stranger", action="store_true", help="one photo is of another coupon")
    rings.add_argument("--beads", type=int, choices=(1, 3), default=1, help="side by side")


def _rings(choice: argparse.Namespace) -> None:
    flaws = Flaws(**{field.name: getattr(choice, field.name) for field in fields(Flaws)})
    ring = draw_ring(
        choice.out.name, choice.seed, kind=choice.kind, flaws=flaws, targets=choice.targets
    )
    shots = ring.shots
    if choice.shrink > 1:
        shots = tuple(replace(shot, scene=smaller(shot.scene, choice.shrink)) for shot in shots)
    if choice.quality is not None:
        shots = tuple(replace(shot, scene=_saved(shot.scene, choice.quality)) for shot in shots)
    ring = replace(ring, shots=shots)
    if choice.truth_only:
        write_ring_truths(ring, choice.out)
        return
    make_ring(
        ring, choice.out, samples=choice.samples, variant=choice.renderer, shrink=choice.shrink
    )


def _heights(choice: argparse.Namespace) -> None:
    scenes = draw_height_scenes(
        kind=choice.kind,
        first_seed=choice.first_seed,
        count=choice.count,
        refusals=choice.refusals,
        targets=choice.targets,
    )
    if choice.only:
        scenes = [scene for scene in scenes if scene.name in choice.only.split(",")]
    if choice.shrink > 1:
        scenes = [smaller(scene, choice.shrink) for scene in scenes]
    make_set(
        scenes, choice.out, samples=choice.samples, workers=choice.workers, variant=choice.renderer
    )


def _photos(choice: argparse.Namespace) -> None:
    scenes = sample_scenes(choice.targets)
    if choice.only:
        scenes = [scene for scene in scenes if scene.name in choice.only.split(",")]
    if choice.shrink > 1:
        scenes = [smaller(scene, choice.shrink) for scene in scenes]
    if choice.truth_only:
        write_truths(scenes, choice.out / "truth", mesh_mm=FINE_MESH_MM)
        return
    make_set(
        scenes,
        choice.out,
        truth_dir=choice.out / "truth",
        samples=choice.samples,
        workers=choice.workers,
        variant=choice.renderer,
        mesh_mm=FINE_MESH_MM,
        texel_mm=0.04,
    )


def _saved(scene: Scene, quality: int) -> Scene:
    """The same scene in files of another JPEG quality."""
    return replace(scene, development=replace(scene.development, quality=quality))


def smaller(scene: Scene, factor: int) -> Scene:
    """The same scene with fewer pixels."""
    view, how = scene.view, scene.development
    view = replace(view, width_px=view.width_px // factor, height_px=view.height_px // factor)
    return replace(
        scene, view=view, development=replace(how, blur_px=how.blur_px / factor, motion_px=0.0)
    )


if __name__ == "__main__":
    main()
