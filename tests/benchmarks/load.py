"""Let many people use one page at once, and look whether each gets what is theirs.

    python tests/benchmarks/load.py --people 20 --minutes 5

The page is the real command on this computer alone. Each person opens it, sends a photo of a weld,
presses Measure, waits, reads the result and starts afresh, again and again. Every photo was
measured before, without the page: what comes back must be that very result, under the name that
was sent. A polite wait (a full queue, many photos on their way) is counted and borne; any other
refusal, status or difference is an error. Memory is that of the page and its processes together.
"""

import argparse
import json
import os
import random
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import httpx
from load_photos import Known, answer_of, known_photos
from tree_memory import memory_mb

OWN: Final = {"x-beadcheck": "page"}
POLITE: Final = ("are waiting already", "are on their way just now")
PATIENCE_S: Final = 600.0
STARTING_S: Final = 180.0
SAMPLE_S: Final = 2.0
FLAT: Final = 1.15
"""By how much the middle of the last third of the run may lie above that of the second."""

LEAST_S: Final = 180.0
"""In less, what every process loads once is most of what memory does."""


@dataclass
class Seen:
    """What happened, over all people."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    counts: Counter[str] = field(default_factory=Counter)
    waits_s: dict[str, list[float]] = field(default_factory=dict)
    errors: list[str] = field(default_factory=list)
    memory_mb: list[float] = field(default_factory=list)

    def count(self, what: str) -> None:
        """Count one more."""
        with self.lock:
            self.counts[what] += 1

    def took(self, what: str, begun_s: float) -> None:
        """Note how long something took."""
        with self.lock:
            self.waits_s.setdefault(what, []).append(time.monotonic() - begun_s)

    def wrong(self, what: str) -> None:
        """Note an error."""
        with self.lock:
            self.errors.append(what)


class Person:
    """Somebody with a browser, as far as the page can tell."""

    def __init__(self, address: str, number: int, known: list[Known], seen: Seen) -> None:
        self.number, self.known, self.seen = number, known, seen
        self.client = httpx.Client(base_url=address, timeout=PATIENCE_S)

    def go_on(self, end_s: float) -> None:
        """Use the page until the time is up."""
        rng, turn = random.Random(self.number), 0  # noqa: S311  # no secret
        try:
            self._open()
            while time.monotonic() < end_s:
                turn += 1
                name = f"person {self.number} turn {turn}.jpg"
                self._one_photo(name, self.known[rng.randrange(len(self.known))], end_s)
        except Exception as error:  # the run goes on without this person, and is told of
            self.seen.wrong(f"person {self.number}, turn {turn}: {type(error).__name__}: {error}")
        finally:
            self.client.close()

    def _open(self) -> None:
        self.client.get("/").raise_for_status()
        config = self.client.get("/config").json()
        self.handlers = {each["api_name"]: each for each in config["dependencies"]}
        parts = {each["id"]: each["props"] for each in config["components"]}
        asked = self.handlers["start"]["inputs"]
        values = {parts[each].get("elem_id"): parts[each].get("value") for each in asked}
        self.form = list({**values, "shape": "plate"}.values())
        if len(self.form) != len(asked):
            msg = "two fields of the form have one name"
            raise AssertionError(msg)

    def _one_photo(self, name: str, known: Known, end_s: float) -> None:
        begun_s = time.monotonic()
        if not self._politely(lambda: self._sent(name, known), end_s):
            return
        self.seen.took("sent", begun_s)
        begun_s = time.monotonic()
        if self._politely(self._started, end_s):
            while self.client.get("/standing").json()["running"]:
                time.sleep(0.5)
            self._compare(name, known)
            self.seen.took("measured", begun_s)
        self._ask("clear")
        begun_s = time.monotonic()
        self.client.get("/").raise_for_status()
        self.seen.took("page", begun_s)

    def _sent(self, name: str, known: Known) -> str:
        """Send the photo, and return what the page says to it."""
        answer = self.client.post(
            "/photos", params={"name": name}, content=known.contents, headers=OWN
        )
        answer.raise_for_status()
        return str(answer.json()["sentence"])

    def _started(self) -> str:
        """Press Measure, and return what the page says to it; "" where it measures."""
        answer = self._ask("start", *self.form)
        return "" if self.client.get("/standing").json()["running"] else _said(answer)

    def _politely(self, ask: Any, end_s: float) -> bool:
        """Ask until the page is not too busy; tell whether it was before the end."""
        while True:
            said = ask()
            if not said:
                return True
            if not any(words in said for words in POLITE):
                raise AssertionError(said)
            self.seen.count("polite waits")
            if time.monotonic() > end_s:
                return False
            time.sleep(3.0)

    def _compare(self, name: str, known: Known) -> None:
        answer = self._ask("poll")
        at = answer.find("data-result=")
        if at < 0:
            raise AssertionError(_said(answer))
        key = answer[at:].split("=", 1)[1].lstrip('\\"').split("\\", 1)[0]
        reply = self.client.get(f"/results/{key}/result.json")
        reply.raise_for_status()
        if answer_of(reply.text.replace(name, "known.jpg")) != known.answer:
            self.seen.wrong(f"{name}: not the result of this photo")
        self.seen.count("measured")

    def _ask(self, handler: str, *given: Any) -> str:
        """Call a handler as the page's own script does."""
        session = uuid.uuid4().hex
        asked = self.handlers[handler]
        unsaid = [None] * (len(asked["inputs"]) - len(given))
        body = {"data": [*given, *unsaid], "fn_index": asked["id"], "session_hash": session}
        self.client.post("/gradio_api/queue/join", json=body).raise_for_status()
        query = {"session_hash": session}
        with self.client.stream("GET", "/gradio_api/queue/data", params=query) as reply:
            for line in reply.iter_lines():
                if "process_completed" in line:
                    return line
        msg = f"{handler} was never answered"
        raise AssertionError(msg)


def _said(answer: str) -> str:
    """Return the end of what a handler answered: its sentences stand there."""
    told = json.loads(answer.removeprefix("data: "))
    return json.dumps(told.get("output", told), ensure_ascii=False)[:3000]


@contextmanager
def served(folder: Path, port: int) -> Iterator[subprocess.Popen[bytes]]:
    """Serve the page by the command."""
    environment = {**os.environ, "BEADCHECK_LOG": str(folder / "log.sqlite3")}
    with (folder / "said.txt").open("wb") as said:
        page = subprocess.Popen(
            [sys.executable, "-m", "beadcheck", "page", "--port", str(port)],
            env=environment,
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        try:
            end_s = time.monotonic() + STARTING_S
            while b"Ctrl-C" not in (folder / "said.txt").read_bytes():
                if page.poll() is not None or time.monotonic() > end_s:
                    sys.exit(f"the page did not start: {(folder / 'said.txt').read_text('utf-8')}")
                time.sleep(0.2)
            yield page
        finally:
            page.send_signal(signal.SIGTERM)
            page.wait(60.0)


def run(people: int, minutes: float) -> Seen:
    """Let so many people use a page for so long."""
    seen = Seen()
    with tempfile.TemporaryDirectory(prefix="load-") as name, socket.socket() as probe:
        folder = Path(name)
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
        probe.close()
        known = known_photos(folder, people)
        print(f"{people} photos measured without the page; now {minutes:g} minutes", flush=True)
        with served(folder, port) as page:
            end_s = time.monotonic() + 60.0 * minutes
            everybody = [
                threading.Thread(
                    target=Person(f"http://127.0.0.1:{port}", k, known, seen).go_on, args=(end_s,)
                )
                for k in range(people)
            ]
            for each in everybody:
                each.start()
            while any(each.is_alive() for each in everybody):
                seen.memory_mb.append(memory_mb(page.pid))
                time.sleep(SAMPLE_S)
            if page.poll() is not None:
                seen.wrong(f"the page ended, code {page.returncode}")
        said = (folder / "said.txt").read_text("utf-8")
        for line in said.splitlines()[1:]:
            seen.wrong(f"the page's log: {line}")
    return seen


def report(seen: Seen) -> bool:
    """Print what was seen; tell whether all was well."""
    print(", ".join(f"{what}: {count}" for what, count in sorted(seen.counts.items())))
    for what, waits in seen.waits_s.items():
        ordered = sorted(waits)
        print(
            f"{what:9} {len(ordered):5d} times, median {statistics.median(ordered):6.2f} s, "
            f"19 of 20 within {ordered[int(0.95 * (len(ordered) - 1))]:6.2f} s"
        )
    third = max(1, len(seen.memory_mb) // 3)
    second, last = (
        statistics.median(each)
        for each in (seen.memory_mb[third : 2 * third], seen.memory_mb[-third:])
    )
    short = SAMPLE_S * len(seen.memory_mb) < LEAST_S
    flat = short or last <= FLAT * second
    told = "too short a run to tell" if short else "flat" if flat else "GROWS"
    print(
        f"memory of page and processes: second third {second:.0f} MB, last {last:.0f} MB, "
        f"most {max(seen.memory_mb):.0f} MB: {told}"
    )
    for error, count in Counter(seen.errors).most_common(20):
        print(f"ERROR, {count} times: {error}")
    print(f"{len(seen.errors)} errors")
    return flat and not seen.errors and seen.counts["measured"] > 0


def main() -> None:
    """Run, report; exit code 1 where anything was wrong."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--people", type=int, default=20)
    parser.add_argument("--minutes", type=float, default=5.0)
    asked = parser.parse_args()
    sys.exit(not report(run(asked.people, asked.minutes)))


if __name__ == "__main__":
    main()
