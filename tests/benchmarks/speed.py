"""Speed as ratios to a baseline timed in the same run.

One measured 12-megapixel photo (warm, in process) against ``cv2.imread`` of the same file, stage by
stage, drawing apart; and ``beadcheck --help`` against ``import gradio``.

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

import cv2

from beadcheck.coupon import Coupon
from beadcheck.photo import read_photo
from beadcheck.pipeline import Request, measure_each
from beadcheck.report.picture import annotated_picture
from beadcheck.report.wording import LengthUnit

SAMPLE = Path(__file__).parents[2] / "samples" / "plate-gtaw-pulsed.jpg"
REPEATS = 7


def best_of(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """Shortest of several timings, in seconds: the least disturbed one."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def photo_ratios(photo_file: Path) -> list[tuple[str, float, float]]:
    """Name, seconds and ratio to the decode, of each stage."""
    request = Request(photos=(photo_file,), coupon=Coupon())
    measured = next(iter(measure_each(request)))  # warm: imports done, network loaded
    if measured.photo is None or not measured.result.stations:
        sys.exit(f"{photo_file.name} cannot be measured, so its speed says nothing.")
    decode = best_of(lambda: cv2.imread(str(photo_file)))
    rows = [
        ("cv2.imread (the baseline)", decode),
        ("read_photo", best_of(lambda: read_photo(photo_file))),
        ("measured photo, decode included", best_of(lambda: list(measure_each(request)))),
        (
            "drawing",
            best_of(lambda: annotated_picture(measured.photo, measured.result, unit=LengthUnit.MM)),
        ),
    ]
    return [(name, seconds, seconds / decode) for name, seconds in rows]


def start_ratios() -> list[tuple[str, float, float]]:
    """Start of the command against the import of the page's library."""

    def run(*arguments: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, *arguments], check=True, capture_output=True)

    gradio = best_of(run("-c", "import gradio"), 3)
    help_text = best_of(run("-m", "beadcheck", "--help"), 5)
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
    show("start", start_ratios())


if __name__ == "__main__":
    main()
