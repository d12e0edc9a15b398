"""Speed and memory as ratios to a baseline timed in the same run, in one table.

    python tests/benchmarks/speed.py [GROUP…] [--against CHECKOUT] [--photo PHOTO] [--rounds N]

Groups: stages (of one photo), photo (whole, and against plain scikit-image), heights, joint (eight
photos of 12 megapixels), 1, 10, 100 and 1000 (photos, also by one command), page, start. Without
any, all but 100 and 1000. `--against` puts the package of another checkout beside this one: both
take turns, each in a process of its own. Two ratios stand in each row: of the time to wait, which
other programs on the machine spoil, and of processor time, which they spoil less. Memory is the
peak of the whole process.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Final, TypeAlias

HERE: Final = Path(__file__).resolve().parent
CHECKOUT: Final = HERE.parents[1]
SAMPLE: Final = CHECKOUT / "samples" / "plate-gtaw-pulsed.jpg"
BASELINE: Final = "(the baseline)"
USUAL: Final = ("stages", "photo", "heights", "joint", "1", "10", "page", "start")
LARGE: Final = ("100", "1000")

Took: TypeAlias = dict[str, dict[str, float | None]]
"""By name of the work: wall_s, processor_s, peak_mb."""


def took_in(checkout: Path, group: str, photo: Path) -> Took:
    """Time a group with a checkout's package, in a process of its own.

    It stands in that checkout, as Python looks for packages first where it stands.
    """
    path = os.pathsep.join(map(str, (checkout, checkout / "ui")))
    done = subprocess.run(
        [sys.executable, str(HERE / "speed_works.py"), group, str(photo.resolve())],
        cwd=checkout,
        env=os.environ | {"PYTHONPATH": path},
        stdout=subprocess.PIPE,
        check=True,
        text=True,
    )
    rows = json.loads(done.stdout.splitlines()[-1])
    return {row.pop("name"): row for row in rows}


def best(rounds: Sequence[Took]) -> Took:
    """The least of several rounds, number by number."""
    return {
        name: {
            key: None if value is None else min(float(each[name][key] or 0.0) for each in rounds)
            for key, value in first.items()
        }
        for name, first in rounds[0].items()
    }


def columns(took: Took) -> dict[str, str]:
    """Of each work: time to wait and processor time over its baseline's, and peak memory."""
    found, base = {}, {}
    for name, row in took.items():
        if BASELINE in name:
            base = row
        told = [
            " " * 8
            if row[key] is None
            else f"{float(row[key] or 0.0) / float(base[key] or 1.0):8.2f}"
            for key in ("wall_s", "processor_s")
        ]
        memory = "" if row["peak_mb"] is None else f"{row['peak_mb']:.0f} MB"
        found[name] = f"{''.join(told)}{memory:>9s}"
    return found


def show(group: str, own: Took, other: Took | None) -> None:
    """Print one group of the table."""
    others = {} if other is None else columns(other)
    for name, told in columns(own).items():
        waited = own[name]["wall_s"]
        line = f"{group:8s}{name:50s}"
        line += f"{'' if waited is None else f'{waited:.3f} s':>11s}{told}"
        print(f"{line}   |{others[name]}" if name in others else line, flush=True)


def main() -> None:
    """Read the command line, time, and print the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("groups", nargs="*", metavar="GROUP", help=", ".join(USUAL + LARGE))
    parser.add_argument("--against", type=Path, help="another checkout, for before and after")
    parser.add_argument("--photo", type=Path, default=SAMPLE, help="a photo of a plate")
    parser.add_argument("--rounds", type=int, default=1, help="turns that each checkout takes")
    asked = parser.parse_args()
    if strange := sorted({*asked.groups} - {*USUAL, *LARGE}):
        parser.error(f"there is no group {strange[0]}")
    print(
        f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, "
        f"OpenCV {version('opencv-python')}, numpy {version('numpy')}"
    )
    head = f"{'group':8s}{'work':50s}{'to wait':>11s}{'ratio':>8s}{'proc.':>8s}{'memory':>9s}"
    print(head if asked.against is None else f"{head}   |{'against':>8s}{'proc.':>8s}")
    for group in asked.groups or USUAL:
        own, other = [], []
        for _ in range(asked.rounds):
            own.append(took_in(CHECKOUT, group, asked.photo))
            if asked.against is not None:
                other.append(took_in(asked.against.resolve(), group, asked.photo))
        show(group, best(own), best(other) if other else None)


if __name__ == "__main__":
    main()
