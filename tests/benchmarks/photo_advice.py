"""How often each piece of advice is given on photos, so that false alarms can be counted.

Run it as ``python tests/benchmarks/photo_advice.py FOLDER... [--without-target] [--blur-mm MM]
[--px-per-mm SCALE]``. Photos with a truth file beside them are looked at for its coupon and target,
others for the plate's own. The last two spoil each photo first, by its true scale.
"""

import argparse
import sys
import tempfile
from collections import Counter
from dataclasses import replace
from pathlib import Path

import cv2
from accuracy import request_for, truth_of

from beadcheck.pipeline import Request, look_at, takes_of

ENDINGS = {".jpg", ".jpeg", ".png", ".heic"}


def spoilt(photo: Path, truth: dict, folder: Path, *, blur_mm: float, px_per_mm: float) -> Path:
    """The photo blurred and taken from farther away, written into a folder."""
    pixels = cv2.imread(str(photo))
    scale = truth["camera"].get("px_per_mm_at_target")
    if blur_mm:
        pixels = cv2.GaussianBlur(pixels, (0, 0), blur_mm * scale)
    if px_per_mm and px_per_mm < scale:
        ratio = px_per_mm / scale
        pixels = cv2.resize(pixels, None, fx=ratio, fy=ratio, interpolation=cv2.INTER_AREA)
    path = folder / f"{photo.stem}.png"
    cv2.imwrite(str(path), pixels)
    return path


def main() -> None:
    """Look at every photo of the folders named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--without-target", action="store_true")
    parser.add_argument("--blur-mm", type=float, default=0.0)
    parser.add_argument("--px-per-mm", type=float, default=0.0)
    choice = parser.parse_args()
    photos = [p for f in choice.folders for p in sorted(f.iterdir()) if p.suffix.lower() in ENDINGS]
    if not photos:
        sys.exit("No photo lies in these folders.")
    given: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        for photo in photos:
            truth = truth_of(photo)
            request = (
                Request(takes=takes_of((photo,)))
                if truth is None
                else request_for(photo, truth, None)
            )
            request = replace(request, without_target=choice.without_target)
            path = photo
            if truth is not None and (choice.blur_mm or choice.px_per_mm):
                path = spoilt(
                    photo,
                    truth,
                    Path(folder),
                    blur_mm=choice.blur_mm,
                    px_per_mm=choice.px_per_mm,
                )
            codes = [advice.code for advice in look_at(path, request)]
            print(f"{photo.name:32s} {', '.join(codes) or 'good to measure'}")
            given.update(codes or ["good to measure"])
    print(f"\n{len(photos)} photos")
    for code, count in given.most_common():
        print(f"{code:28s}{count:5d}{count / len(photos):8.1%}")


if __name__ == "__main__":
    main()
