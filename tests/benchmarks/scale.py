"""How true the scale alone is: marker corners, left-out distances and bow, on known cards.

Takes a folder made by ``python -m samples.making metrology`` (or any folder of photos with truth
files that name marker corners) and prints for each photo the corner error (rms per axis, and
radially: negative is inward), the error of the distance between two markers that were left out of
the solve, and whether a bow was told. Where the ink has spread, the true edges lie outside the
nominal corners by just that: the radial bias shows it, and the fit's edge shift takes it up.

Run it as ``python tests/benchmarks/scale.py FOLDER --target FILE.toml``.
"""

import argparse
import json
from dataclasses import replace
from pathlib import Path

import numpy as np

from beadcheck.coupon import Coupon
from beadcheck.errors import BeadcheckError
from beadcheck.photo import read_photo
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target


def corner_errors_px(found, truth: dict) -> np.ndarray:
    """(N, 2) radial and tangential errors of the found corners, outward positive."""
    true = {m["id"]: np.array(m["corners_px"]) for m in truth["markers"] if m["in_view"]}
    errors = []
    for marker in found.markers:
        corners = true[marker.marker.id]
        outward = corners - corners.mean(axis=0)
        outward /= np.hypot(*outward.T)[:, None]
        off = marker.corners_px - corners
        radial = (off * outward).sum(axis=1)
        square = off[:, 0] * -outward[:, 1] + off[:, 1] * outward[:, 0]
        errors.append(np.stack([radial, square], axis=1))
    return np.concatenate(errors)


def left_out_error(photo, design, truth: dict) -> float:
    """Relative error of the distance between the first and the last marker, both left out."""
    # The markers' own plane is asked, not the metal a sheet of paper below it.
    kept = replace(design, markers=design.markers[1:-1], thickness_mm=1e-6)
    surface = solve_surface(find_target(photo, (kept,)), photo, Coupon(), print_scale(design, None))
    ends = [design.markers[0], design.markers[-1]]
    true_px = {m["id"]: np.array(m["corners_px"]) for m in truth["markers"]}
    middles_px = np.array([true_px[m.id].mean(axis=0) for m in ends])
    middles_mm = np.array([m.corners_mm.mean(axis=0) for m in ends])
    found_mm = surface.to_mm(middles_px)
    true_mm = float(np.hypot(*(middles_mm[1] - middles_mm[0])))
    return float(np.hypot(*(found_mm[1] - found_mm[0]))) / true_mm - 1.0


def main() -> None:
    """Print one line for each photo, and the corner figures over the flat ones."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--target", type=Path, required=True)
    arguments = parser.parse_args()
    design = read_target(arguments.target)
    flat, lengths = [], []
    for path in sorted(arguments.folder.glob("*.jpg")):
        truth = json.loads(path.with_suffix(".json").read_text("utf-8"))
        photo = read_photo(path)
        bow_mm = truth.get("card", {}).get("bow_mm") or 0.0
        try:
            found = find_target(photo, (design,))
            errors = corner_errors_px(found, truth)
            surface = solve_surface(found, photo, Coupon(), print_scale(design, None))
            told = ", ".join(w.code for w in surface.warnings) or "-"
            length = left_out_error(photo, design, truth)
            if not bow_mm:
                flat.append(errors)
                lengths.append(length)
            print(
                f"{path.name}  bow {bow_mm:.1f} mm  {surface.px_per_mm:5.1f} px/mm  blur "
                f"{surface.blur_px:.2f} px  corners rms {np.sqrt((errors**2).mean()):.3f} px, "
                f"radial bias {errors[:, 0].mean():+.3f} px  left-out length "
                f"{length:+.3%}  told: {told}"
            )
        except BeadcheckError as refusal:
            print(f"{path.name}  bow {bow_mm:.1f} mm  refused: {refusal.code}")
    all_flat = np.concatenate(flat)
    print(
        f"\nflat cards: {len(flat)}; corners rms per axis {np.sqrt((all_flat**2).mean()):.3f} px, "
        f"radial bias {all_flat[:, 0].mean():+.3f} px; left-out length: rms "
        f"{np.sqrt(np.mean(np.square(lengths))):.4%}, largest {np.abs(lengths).max():.4%}"
    )


if __name__ == "__main__":
    main()
