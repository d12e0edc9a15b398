"""Many photos by one command: memory, cores, and what a kill in the middle costs.

``--memory`` measures 10 photos, then many, and prints the peak of memory summed over the command
and all its processes (proportional set size: pages that several share count once), as it grows.
``--cores`` times one process against two, each with one OpenCV thread, taking turns.
``--killed`` kills the command halfway, starts it again and counts what was measured how often.
Each says whether that is as it must be; the exit code is 1 where one is not. On two quiet cores
all three take about twenty minutes.

The photos are copies of a sample with other bytes; ``--share`` makes them smaller. Run it as
``python tests/benchmarks/many_photos.py --memory --cores --killed``.
"""

import argparse
import json
import platform
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import psutil
from photo_copies import photo_copies

COMMAND = [sys.executable, "-m", "beadcheck", "measure"]
FEW = 10
SAMPLED_EVERY_S = 0.1
KILO = 1000
MOST_TIMES = 1.3
"""Memory of many photos over that of ten."""
LEAST_TIMES = 1.6
"""By which two processes are faster than one."""


def journal(out: Path) -> list[dict[str, str]]:
    """Whole lines of the journal after its first."""
    path = out / "journal.jsonl"
    text = path.read_text("utf-8") if path.exists() else ""
    return [json.loads(line) for line in text.split("\n")[1:-1]]


def started(photos: Path, out: Path, jobs: int) -> psutil.Popen:
    """Start the command, told to use this many processes."""
    words = [str(photos), "--each", "--out", str(out), "--jobs", str(jobs)]
    return psutil.Popen([*COMMAND, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def finished(process: psutil.Popen) -> None:
    """Wait for the command; whatever went wrong ends the benchmark."""
    if process.wait() != 0:
        sys.exit(f"The command left {process.returncode}.")


def memory_mb(process: psutil.Process) -> float:
    """Memory of a process and everything below it."""
    total = 0
    for each in (process, *process.children(recursive=True)):
        try:
            used = each.memory_full_info()
        except psutil.Error:  # it ended meanwhile
            continue
        total += getattr(used, "pss", used.uss)
    return total / 1e6


def peaks_mb(photos: Path, out: Path, jobs: int, every: int) -> list[tuple[int, float]]:
    """Photos done, and the peak of memory until then, about every so many photos."""
    process = started(photos, out, jobs)
    peak, told = 0.0, [(0, 0.0)]
    while process.poll() is None:
        peak = max(peak, memory_mb(process))
        done = len(list(out.glob("*/result.json"))) if out.exists() else 0
        if done >= told[-1][0] + every:
            told.append((done, peak))
            print(f"  {done:5d} photos: peak {peak:7.1f} MB", flush=True)
        time.sleep(SAMPLED_EVERY_S)
    finished(process)
    return [*told[1:], (len(journal(out)), peak)]


def verdict(*, well: bool, asked: str) -> bool:
    """Say whether a figure is as it must be."""
    print(f"  {'as it must be' if well else 'NOT as it must be'}: {asked}")
    return well


def show_memory(folder: Path, count: int, share: float, jobs: int) -> bool:
    """Peak of many photos against that of ten."""
    photo_copies(folder / "few", FEW, share=share)
    photo_copies(folder / "many", count, share=share)
    print(f"\nmemory, {jobs} at once")
    (*_, (_, few)) = peaks_mb(folder / "few", folder / "few-out", jobs, FEW + 1)
    print(f"  {FEW:5d} photos: peak {few:7.1f} MB")
    (*_, (done, many)) = peaks_mb(folder / "many", folder / "many-out", jobs, max(count // 20, 1))
    print(f"  {done:5d} photos: peak {many:7.1f} MB, {many / few:.2f} times that of {FEW}")
    well = done == count and many <= MOST_TIMES * few
    return verdict(well=well, asked=f"{count} photos, at most {MOST_TIMES} times")


def show_cores(folder: Path, count: int, share: float) -> bool:
    """One process against two."""
    photos = folder / "cores"
    photo_copies(photos, count, share=share)
    best: dict[int, float] = {}
    for turn in range(2):
        for jobs in (1, 2):
            began = time.perf_counter()
            finished(started(photos, folder / f"cores-{turn}-{jobs}", jobs))
            took = time.perf_counter() - began
            best[jobs] = min(took, best.get(jobs, took))
    print(f"\ncores, {count} photos, one OpenCV thread each, start-up included")
    for jobs, took in best.items():
        print(f"  {jobs} at once: {took:7.2f} s, {best[1] / took:.2f} times as fast as one")
    well = best[1] >= LEAST_TIMES * best[2]
    return verdict(well=well, asked=f"two at least {LEAST_TIMES} times as fast as one")


def show_killed(folder: Path, count: int, share: float, jobs: int) -> bool:
    """Kill the command halfway, and go on."""
    photos, out = folder / "killed", folder / "killed-out"
    photo_copies(photos, count, share=share)
    process = started(photos, out, jobs)
    while len(journal(out)) < count // 2 and process.poll() is None:
        time.sleep(SAMPLED_EVERY_S)
    process.kill()
    process.wait()
    before = len(journal(out))
    finished(started(photos, out, jobs))
    times = Counter(Counter(each["key"] for each in journal(out)).values())
    print(f"\nkilled after {before} of {count} photos and started again")
    once, more = times.pop(1, 0), sum(times.values())
    print(f"  measured once: {once}, more than once: {more}")
    halfway = 0 < before < count
    return verdict(well=halfway and once == count and not more, asked=f"all {count} once")


def main() -> None:
    """Show what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--memory", action="store_true")
    parser.add_argument("--cores", action="store_true")
    parser.add_argument("--killed", action="store_true")
    parser.add_argument("--count", type=int, default=KILO, help="of --memory and --killed")
    parser.add_argument("--timed", type=int, default=40, help="photos of --cores, of full size")
    parser.add_argument("--share", type=float, default=0.25, help="of the sample's sides, in px")
    parser.add_argument("--jobs", type=int, default=2)
    given = parser.parse_args()
    print(f"{platform.machine()}, {psutil.cpu_count()} cores, Python {platform.python_version()}")
    well = []
    with tempfile.TemporaryDirectory(prefix="beadcheck-many-") as name:
        if given.memory:
            well.append(show_memory(Path(name), given.count, given.share, given.jobs))
        if given.killed:
            well.append(show_killed(Path(name), given.count, given.share, given.jobs))
        if given.cores:
            well.append(show_cores(Path(name), given.timed, 1.0))
    sys.exit(not all(well))


if __name__ == "__main__":
    main()
