"""Speed as ratios to a baseline timed in the same run.

One measured 12-megapixel photo (warm, in process) against ``cv2.imread`` of the same file, stage by
stage, drawing apart; side-on, light-line and pair photos against ``cv2.imread`` of the same files;
and ``beadcheck --help`` against ``import gradio``.

Run it as ``python tests/benchmarks/speed.py [PHOTO]``; it prints machine, versions and ratios.
"""

import argparse
import platform
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

from beadcheck.cli.threads import leave_cores_to_opencv

leave_cores_to_opencv()  # as the command does, before NumPy loads

import cv2

from beadcheck.coupon import Coupon, Shape
from beadcheck.photo import PhotoKind, read_photo
from beadcheck.pipeline import Request, measure_each, takes_of
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.report.picture import annotated_picture
from beadcheck.report.wording import LengthUnit

SAMPLES = Path(__file__).parents[2] / "samples"
SAMPLE = SAMPLES / "plate-gtaw-pulsed.jpg"
PIPE = Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1)
STEP = KnownStep(thickness_mm=5.0)
HEIGHTS = {
    "side-on": (PhotoKind.SIDE_ON, PIPE, None, ["pipe-smaw-side-on"]),
    "light-line": (PhotoKind.LIGHT_LINE, Coupon(), STEP, ["plate-gmaw-light-line"]),
    "pair": (PhotoKind.PAIR, Coupon(), STEP, ["plate-gmaw-pair-a", "plate-gmaw-pair-b"]),
    "pair on pipe": (PhotoKind.PAIR, PIPE, None, ["pipe-smaw-pair-a", "pipe-smaw-pair-b"]),
}
"""Kind, coupon, known step and sample photos of each way to a height."""
REPEATS = 7


def best_of_each(*works: Callable[[], object], repeats: int = REPEATS) -> list[float]:
    """Shortest of several timings of each, in seconds: the least disturbed one.

    They take turns, so that a machine that slows down does so for all of them.
    """
    times = []
    for _ in range(repeats):
        for work in works:
            start = time.perf_counter()
            work()
            times.append(time.perf_counter() - start)
    return [min(times[place :: len(works)]) for place in range(len(works))]


def photo_ratios(photo_file: Path) -> list[tuple[str, float, float]]:
    """Name, seconds and ratio to the decode, of each stage."""
    request = Request(takes=takes_of((photo_file,)), coupon=Coupon())
    measured = next(iter(measure_each(request)))  # warm: imports done, network loaded
    pixels = measured.photos[0].photo
    if pixels is None or not measured.result.stations:
        sys.exit(f"{photo_file.name} cannot be measured, so its speed says nothing.")
    works = {
        "cv2.imread (the baseline)": lambda: cv2.imread(str(photo_file)),
        "read_photo": lambda: read_photo(photo_file),
        "measured photo, decode included": lambda: list(measure_each(request)),
        "drawing": lambda: annotated_picture(pixels, measured.result, unit=LengthUnit.MM),
    }
    times = best_of_each(*works.values())
    return [(name, seconds, seconds / times[0]) for name, seconds in zip(works, times, strict=True)]


def height_ratios(way: str) -> list[tuple[str, float, float]]:
    """Name, seconds and ratio of one way to a height, decode included, to the decode alone."""
    kind, coupon, step, names = HEIGHTS[way]
    photos = [SAMPLES / f"{name}.jpg" for name in names]
    request = Request(takes=takes_of(photos, kind), coupon=coupon, step=step)
    if not next(iter(measure_each(request))).result.profiles:
        sys.exit(f"{names[0]} gives no height, so its speed says nothing.")
    decode, whole = best_of_each(
        lambda: [cv2.imread(str(photo)) for photo in photos], lambda: list(measure_each(request))
    )
    return [("cv2.imread (the baseline)", decode, 1.0), (way, whole, whole / decode)]


def start_ratios() -> list[tuple[str, float, float]]:
    """Start of the command against the import of the page's library."""

    def run(*arguments: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, *arguments], check=True, capture_output=True)

    gradio, help_text = best_of_each(
        run("-c", "import gradio"), run("-m", "beadcheck", "--help"), repeats=3
    )
    return [
        ("import gradio (the baseline)", gradio, 1.0),
        ("beadcheck --help", help_text, help_text / gradio),
    ]


def show(title: str, rows: list[tuple[str, float, float]]) -> None:
    """Print one table."""
    print(f"\n{title}")
    for name, seconds, ratio in rows:
        print(f"  {name:36s}{seconds:9.3f} s{ratio:9.2f} x")


def main() -> None:
    """Time the photo named on the command line, or the 12-megapixel sample."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("photo", nargs="?", type=Path, default=SAMPLE)
    photo_file = parser.parse_args().photo
    pixels = cv2.imread(str(photo_file))
    print(
        f"{platform.machine()}, {cv2.getNumThreads()} threads, Python {platform.python_version()}, "
        f"OpenCV {cv2.__version__}, numpy {version('numpy')}"
    )
    print(f"{photo_file.name}: {pixels.shape[1]} x {pixels.shape[0]} px")
    show("one photo", photo_ratios(photo_file))
    for way in HEIGHTS:
        show(f"{way}, decode included", height_ratios(way))
    show("start", start_ratios())


if __name__ == "__main__":
    main()
