"""``python -m samples.making``: make the sample photos, or a set of random scenes."""

import argparse
from dataclasses import replace
from pathlib import Path

from samples.making.bench_phone import make_bench_phone
from samples.making.height_sets import HEIGHT_KINDS, draw_height_scenes
from samples.making.metrology import make_metrology
from samples.making.photos import sample_scenes
from samples.making.recipe import Scene
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
    choice = parser.parse_args()
    if choice.job in TARGET_ALONE:
        TARGET_ALONE[choice.job](choice.target, choice.out)
        return
    if choice.job == "photos":
        _photos(choice)
        return
    if choice.job == "heights":
        _heights(choice)
        return
    counts = {"plate": choice.plates, "pipe": choice.pipes, "negative": choice.negatives}
    scenes = draw_scenes(first_seed=choice.first_seed, counts=counts, targets=choice.targets)
    if choice.only:
        wanted = {int(k) for k in choice.only.split(",")}
        scenes = [scene for k, scene in enumerate(scenes) if k in wanted]
    make_set(
        scenes, choice.out, samples=choice.samples, workers=choice.workers, variant=choice.renderer
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


def smaller(scene: Scene, factor: int) -> Scene:
    """The same scene with fewer pixels."""
    view, how = scene.view, scene.development
    view = replace(view, width_px=view.width_px // factor, height_px=view.height_px // factor)
    return replace(
        scene, view=view, development=replace(how, blur_px=how.blur_px / factor, motion_px=0.0)
    )


if __name__ == "__main__":
    main()
