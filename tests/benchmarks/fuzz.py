"""Feed every reader with broken input for a long time, and tell what came of it.

    python tests/benchmarks/fuzz.py --minutes 60 --jobs 2

Finds are faults (an exception that is no refusal of ours), crashes (the process is gone), hangs (an
input takes longer than its reader may) and growth (memory goes up and stays). Each find's input is
kept; whoever mends it puts that file, made small, into `tests/unit/fuzz_finds/READER/`.

Where `atheris` is installed (it is no dependency), it guides the changes by the branches that they
reach; else seeds are changed at random.
"""

import argparse
import importlib.util
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from fuzz_worker import GUIDE, work

READER_NAMES: Final = (
    *("photo", "exif", "target", "weld", "limits", "coupon", "procedure", "target-file"),
    *("camera", "class-list", "toes", "study", "result", "backup"),
)
WAITING: Final = 40.0
"""Times its limit: who waits for so long without using the processor hangs too."""
LOOK_S: Final = 0.5
GROWTH_MB: Final = 100.0
"""By which the middle of the last third of a run may lie above that of the first third."""
LEAST_TOLD: Final = 30


@dataclass
class Outcome:
    """What came of one reader, over all of its runs."""

    name: str
    inputs: int = 0
    refused: int = 0
    slowest_s: float = 0.0
    growth_mb: float = 0.0
    memory_mb: float = 0.0
    finds: list[str] = field(default_factory=list)

    def add(self, told: dict[str, object]) -> None:
        """Add what one run told."""
        self.inputs += int(str(told["inputs"]))
        self.refused += int(str(told["refused"]))
        self.slowest_s = max(self.slowest_s, float(str(told["slowest_s"])))
        memory_mb = [float(each) for each in told["memory_mb"]]  # type: ignore[attr-defined]
        self.memory_mb = max(self.memory_mb, *memory_mb)
        third = len(memory_mb) // 3
        if third >= LEAST_TOLD // 3:
            early, late = memory_mb[third // 2 : third + 1], memory_mb[-third:]
            grown = statistics.median(late) - statistics.median(early)
            self.growth_mb = max(self.growth_mb, grown)


def fuzzed(
    name: str, kept: Path, *, seconds: float, limit_s: float, seed: int, guided: bool
) -> Outcome:
    """Run one reader; after a crash or a hang again, for the rest of its time."""
    outcome = Outcome(name=name)
    end_s = time.monotonic() + seconds
    for attempt in range(50):
        left_s = end_s - time.monotonic()
        if attempt and left_s < 5.0:
            break
        with tempfile.TemporaryDirectory(prefix=f"fuzz-{name}-") as folder:
            ended = _run(name, Path(folder), left_s, limit_s, seed + attempt, guided=guided)
            told = Path(folder) / "told.json"
            if told.exists():
                outcome.add(json.loads(told.read_text("utf-8")))
            for trace in sorted((Path(folder) / "finds").glob("*.txt")):
                outcome.finds.append(f"fault {trace.stem}")
                for file in (trace, trace.with_suffix(".bin")):
                    shutil.copy(file, kept / f"{name}-{file.name}")
            if ended == "its time":
                break
            outcome.finds.append(ended)
            how = ended.partition(" ")[0].rstrip(",")
            current = Path(folder) / "current"
            if current.exists():
                shutil.copy(current, kept / f"{name}-{how}-{attempt}.bin")
            shutil.copy(Path(folder) / "said", kept / f"{name}-{how}-{attempt}.txt")
    if outcome.growth_mb > GROWTH_MB:
        outcome.finds.append(f"growth of {outcome.growth_mb:.0f} MB")
    return outcome


def _run(
    name: str, folder: Path, seconds: float, limit_s: float, seed: int, *, guided: bool
) -> str:
    """Run one worker to its end, and say what ended it."""
    given = [f"--worker={name}", f"--folder={folder}", f"--seconds={seconds:.0f}", f"--seed={seed}"]
    with (folder / "said").open("wb") as said:
        process = subprocess.Popen(
            [sys.executable, __file__, *given, *(["--guided"] if guided else [])],
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        watched = _Watched(process.pid, folder / "current")
        while process.poll() is None:
            time.sleep(LOOK_S)
            if watched.hangs(limit_s):
                process.kill()
                process.wait()
                return f"hang of more than {limit_s:.0f} s"
    if process.returncode != 0:
        return f"crash, code {process.returncode}"
    return "its time"


class _Watched:
    """How long a worker has been at one input, in processor time where the system tells it.

    On a busy machine the clock on the wall says nothing.
    """

    def __init__(self, pid: int, current: Path) -> None:
        self._stat, self._current = Path(f"/proc/{pid}/stat"), current
        self._changed_ns, self._used_s, self._since_s = 0, 0.0, time.monotonic()

    def hangs(self, limit_s: float) -> bool:
        """Tell whether the input in hand has taken too long."""
        begun = self._current.exists()
        changed_ns = self._current.stat().st_mtime_ns if begun else 0
        if changed_ns != self._changed_ns:
            self._changed_ns, self._used_s = changed_ns, self._processor_s()
            self._since_s = time.monotonic()
        waited_s = time.monotonic() - self._since_s
        used_s = self._processor_s() - self._used_s
        return (begun and used_s > limit_s) or waited_s > WAITING * limit_s

    def _processor_s(self) -> float:
        """Return the time used so far; on other systems than Linux that on the wall."""
        try:
            after_name = self._stat.read_text("ascii", "replace").rpartition(")")[2].split()
        except OSError:
            return time.monotonic()
        return (int(after_name[11]) + int(after_name[12])) / os.sysconf("SC_CLK_TCK")


def table(outcomes: list[Outcome]) -> str:
    """Return the summary."""
    lines = [
        f"{'reader':12} {'inputs':>9} {'refused':>8} {'slowest':>9} {'memory':>9} {'growth':>8}"
        "  finds"
    ]
    for each in outcomes:
        share = each.refused / max(1, each.inputs)
        lines.append(
            f"{each.name:12} {each.inputs:9d} {share:8.0%} {each.slowest_s:7.2f} s "
            f"{each.memory_mb:6.0f} MB {each.growth_mb:+5.0f} MB  {'; '.join(each.finds) or 'none'}"
        )
    return "\n".join(lines)


def main() -> None:
    """Fuzz, and print one summary; exit code 1 where anything was found."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--minutes", type=float, default=60.0, help="of all readers together")
    parser.add_argument("--jobs", type=int, default=1, help="readers at once")
    parser.add_argument("--readers", nargs="+", choices=READER_NAMES, default=READER_NAMES)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--plain", action="store_true", help=f"do without {GUIDE}")
    parser.add_argument("--kept", type=Path, help="folder for what is found")
    for own in ("--worker", "--folder", "--seconds"):
        parser.add_argument(own, help=argparse.SUPPRESS)
    parser.add_argument("--guided", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.worker:
        seconds, folder = float(asked.seconds), Path(asked.folder)
        work(asked.worker, folder, seconds=seconds, seed=asked.seed, guided=asked.guided)
        return
    guided = not asked.plain and importlib.util.find_spec(GUIDE) is not None
    kept = asked.kept or Path(tempfile.mkdtemp(prefix="fuzz-finds-"))
    kept.mkdir(parents=True, exist_ok=True)
    os.environ |= {"OPENBLAS_NUM_THREADS": "1", "OPENCV_FOR_THREADS_NUM": "1"}
    os.environ.setdefault("OPENCV_LOG_LEVEL", "OFF")
    seconds = 60.0 * asked.minutes / len(asked.readers)
    print(
        f"{len(asked.readers)} readers, {seconds:.0f} s each, {asked.jobs} at once, "
        f"{'guided by ' + GUIDE if guided else 'changed at random'}, "
        f"Python {sys.version.split()[0]}",
        flush=True,
    )
    limits_s = {"target": 60.0, "weld": 120.0}

    def one(name: str) -> Outcome:
        limit_s = limits_s.get(name, 30.0)
        outcome = fuzzed(
            name, kept, seconds=seconds, limit_s=limit_s, seed=asked.seed, guided=guided
        )
        print(table([outcome]).splitlines()[-1], flush=True)
        return outcome

    with ThreadPoolExecutor(asked.jobs) as pool:
        outcomes = list(pool.map(one, asked.readers))
    print(f"\n{table(outcomes)}")
    print(f"{sum(each.inputs for each in outcomes)} inputs; what was found lies in {kept}")
    sys.exit(any(each.finds for each in outcomes))


if __name__ == "__main__":
    main()
