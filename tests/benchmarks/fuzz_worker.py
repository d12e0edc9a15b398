"""One reader, fed with changed bytes until its time is up; `fuzz.py` starts it and looks on."""

import contextlib
import importlib
import json
import random
import resource
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

GUIDE: Final = "atheris"
"""The coverage-guided fuzzer (Apache-2.0), where it is installed."""
GUIDED_PARTS: Final = ("beadcheck", "PIL", "tomllib", "tomlkit", "json", "csv", "zipfile")
"""Packages whose branches guide it."""
LONGEST_GUIDED: Final = 40_000
"""Bytes; the plain way is not bound by it."""
TELL_S: Final = 1.0
MOST_KINDS: Final = 20
"""Of faults that are kept, for each reader."""


class Worker:
    """Feeds one reader, and writes down what `fuzz.py` wants to know.

    Files in `folder`: `current` is the input in hand, `told.json` how it goes, `finds/` holds the
    first input of each kind of fault with its trace.
    """

    def __init__(self, name: str, folder: Path) -> None:
        # Loaded only here: a fuzzer that is guided must see every module as it loads.
        readers = importlib.import_module("fuzz_readers")
        self.readers, self.reader = readers, readers.READERS[name]
        self.folder, self.own = folder, folder / "own"
        self.own.mkdir(exist_ok=True)
        (folder / "finds").mkdir(exist_ok=True)
        self.inputs = self.refused = 0
        self.slowest_s, self.told_s = 0.0, 0.0
        self.kinds: set[str] = set()
        self.memory_mb: list[float] = []

    def feed(self, data: bytes) -> None:
        """Let the reader read one input."""
        (self.folder / "current").write_bytes(data)
        begun_s = time.process_time()
        try:
            self.refused += self.readers.refused(self.reader, data, self.own)
        except Exception as error:  # every one is a find
            self._keep(error, data)
        took_s = time.process_time() - begun_s
        if took_s > self.slowest_s:
            self.slowest_s = took_s
            (self.folder / "slowest").write_bytes(data)
        self.inputs += 1
        if time.monotonic() - self.told_s > TELL_S:
            self.tell()

    def tell(self) -> None:
        """Write down how it goes."""
        self.told_s = time.monotonic()
        self.memory_mb.append(_resident_mb())
        told = {
            "inputs": self.inputs,
            "refused": self.refused,
            "slowest_s": self.slowest_s,
            "memory_mb": self.memory_mb,
        }
        coming = self.folder / "told.new"
        coming.write_text(json.dumps(told), encoding="utf-8")
        coming.replace(self.folder / "told.json")

    def _keep(self, error: Exception, data: bytes) -> None:
        frames = traceback.extract_tb(error.__traceback__)
        ours = [frame for frame in frames if "beadcheck" in Path(frame.filename).parts] or frames
        kind = f"{type(error).__name__}-{Path(ours[-1].filename).stem}-{ours[-1].lineno}"
        if kind in self.kinds or len(self.kinds) >= MOST_KINDS:
            return
        self.kinds.add(kind)
        (self.folder / "finds" / f"{kind}.bin").write_bytes(data)
        trace = "".join(traceback.format_exception(error))
        (self.folder / "finds" / f"{kind}.txt").write_text(trace, "utf-8", "backslashreplace")


def run_plainly(worker: Worker, *, seconds: float, seed: int) -> None:
    """Change seeds at random until the time is up."""
    rng = random.Random(seed)  # noqa: S311  # no secret
    seeds = worker.reader.seeds()
    end_s = time.monotonic() + seconds
    while time.monotonic() < end_s:
        worker.feed(worker.readers.mutated(seeds, rng))


def run_guided(guide: Any, worker: Worker, *, seconds: float, seed: int) -> None:
    """Let the guide change what reached new branches; half of the changes are our own."""
    corpus = worker.folder / "corpus"
    corpus.mkdir(exist_ok=True)
    seeds = worker.reader.seeds()
    for number, contents in enumerate(seeds):
        (corpus / f"seed-{number}").write_bytes(contents)

    def changed(data: bytes, most: int, number: int) -> bytes:
        rng = random.Random(number)  # noqa: S311  # no secret
        if rng.random() < 0.5:
            return guide.Mutate(data, most)
        return worker.readers.mutated((data or b"\x00", *seeds), rng)[:most]

    told = [
        f"-max_total_time={max(1, round(seconds))}",
        f"-max_len={LONGEST_GUIDED}",
        f"-seed={seed}",
        f"-artifact_prefix={worker.folder}/",
        "-timeout=86400",  # `fuzz.py` looks at the clock, for both ways alike
        "-rss_limit_mb=0",
        "-verbosity=0",
        "-print_final_stats=0",
    ]
    guide.Setup([sys.argv[0], *told, str(corpus)], worker.feed, custom_mutator=changed)
    guide.Fuzz()


def work(name: str, folder: Path, *, seconds: float, seed: int, guided: bool) -> None:
    """Read the large inputs once, then changed seeds until the time is up."""
    guide = importlib.import_module(GUIDE) if guided else None
    with guide.instrument_imports(list(GUIDED_PARTS)) if guide else contextlib.nullcontext():
        worker = Worker(name, folder)
    begun_s = time.monotonic()
    for data in (*worker.reader.seeds(), *worker.reader.large()):
        worker.feed(data)
    worker.memory_mb.clear()
    worker.tell()
    left_s = max(1.0, seconds - (time.monotonic() - begun_s))
    if guide is None:
        run_plainly(worker, seconds=left_s, seed=seed)
        worker.tell()
    else:
        run_guided(guide, worker, seconds=left_s, seed=seed)


def _resident_mb() -> float:
    """Memory in use now; where the system does not tell, the most that was ever in use."""
    try:
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    except OSError:
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        return most / (1e6 if sys.platform == "darwin" else 1e3)
    return pages * resource.getpagesize() / 1e6


RunWork = Callable[..., None]
