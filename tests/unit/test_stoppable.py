"""Work in a process of its own: it hangs, dies or fails, and the next piece is done."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from beadcheck.errors.photo import PhotoEmptyError
from beadcheck.errors.work import WorkDiedError, WorkFaultError, WorkTooLongError
from beadcheck.stoppable import StoppableProcess

LIMIT_S = 60.0


def told(word: str) -> tuple[str, int]:
    print("what a library prints")
    return word, os.getpid()


def hang(_: object) -> None:
    time.sleep(3600.0)


def die(code: int) -> None:
    os._exit(code)


def in_three(word: str, step: Callable[[], None]) -> str:
    for _ in range(3):
        step()
        print("what a library prints")
    return word


def hang_after_one(_: object, step: Callable[[], None]) -> None:
    step()
    time.sleep(3600.0)


def be_killed(_: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def refuse(file: str) -> None:
    raise PhotoEmptyError(file)


def stumble(_: object) -> None:
    raise ZeroDivisionError


def threads(_: object) -> int:
    import cv2  # noqa: PLC0415  # in the child

    return cv2.getNumThreads()


@pytest.fixture(scope="module")
def process():
    process = StoppableProcess()
    yield process
    process.stop()


def test_pieces_are_done_in_one_other_process(process):
    (one, first), (other, second) = (process.do(told, w, limit_s=LIMIT_S) for w in ("toe", "bead"))
    assert (one, other) == ("toe", "bead")
    assert first == second != os.getpid()


def test_opencv_may_use_as_many_threads_as_were_said(process):
    assert process.do(threads, None, limit_s=LIMIT_S) == 1


def test_what_hangs_is_stopped_and_the_next_piece_is_done(process):
    with pytest.raises(WorkTooLongError, match=r"longer than 0\.2 s"):
        process.do(hang, None, limit_s=0.2)
    assert process.do(told, "toe", limit_s=LIMIT_S)[0] == "toe"


@pytest.mark.parametrize(
    ("work", "how"),
    [
        (die, "exit code 7"),
        pytest.param(
            be_killed,
            "ended by SIGKILL",
            marks=pytest.mark.skipif(os.name == "nt", reason="Windows knows no signals"),
        ),
    ],
)
def test_a_process_that_dies_is_told_and_the_next_piece_is_done(process, work, how):
    with pytest.raises(WorkDiedError) as refusal:
        process.do(work, 7, limit_s=LIMIT_S)
    assert how in str(refusal.value)
    assert process.do(told, "toe", limit_s=LIMIT_S)[0] == "toe"


def test_a_refusal_and_a_mistake_come_across_and_cost_no_process(process):
    before = process.do(told, "toe", limit_s=LIMIT_S)
    with pytest.raises(PhotoEmptyError) as refusal:
        process.do(refuse, "a.jpg", limit_s=LIMIT_S)
    assert str(refusal.value) == str(PhotoEmptyError("a.jpg"))
    with pytest.raises(WorkFaultError, match="ZeroDivisionError") as fault:
        process.do(stumble, None, limit_s=LIMIT_S)
    assert "in stumble" in fault.value.details
    assert process.do(told, "toe", limit_s=LIMIT_S) == before


def test_steps_are_told_as_they_are_done_and_each_has_its_own_time(process):
    seen = []
    told_of = process.follow(in_three, "toe", limit_s=LIMIT_S, on_step=lambda: seen.append("step"))
    assert (told_of, seen) == ("toe", ["step"] * 3)
    with pytest.raises(WorkTooLongError):
        process.follow(hang_after_one, None, limit_s=0.3, on_step=lambda: seen.append("last"))
    assert seen[3:] == ["last"]


def test_whoever_follows_can_stop_the_work_at_a_step(process):
    class EnoughError(Exception):
        pass

    def enough():
        raise EnoughError

    with pytest.raises(EnoughError):
        process.follow(hang_after_one, None, limit_s=LIMIT_S, on_step=enough)
    assert process.do(told, "toe", limit_s=LIMIT_S)[0] == "toe"


@pytest.mark.skipif(not Path("/proc").exists(), reason="asks Linux whether it still runs")
def test_nothing_is_left_behind_once_whoever_started_it_is_killed():
    code = (
        "import os, signal, threading\n"
        "from beadcheck.stoppable import StoppableProcess\n"
        "from tests.unit.test_stoppable import hang, told\n"
        "process = StoppableProcess()\n"
        "print(process.do(told, '', limit_s=60.0)[1], flush=True)\n"
        "threading.Timer(0.3, os.kill, [os.getpid(), signal.SIGKILL]).start()\n"
        "process.do(hang, None, limit_s=3600.0)\n"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, check=False, text=True
    )
    assert done.returncode == -signal.SIGKILL
    deadline = time.monotonic() + 10.0
    while still_runs(int(done.stdout)):
        assert time.monotonic() < deadline
        time.sleep(0.05)


def still_runs(number: int) -> bool:
    """Whether a process is there, and more than an entry that nobody has read yet."""
    try:
        state = Path(f"/proc/{number}/stat").read_text("utf-8")
    except FileNotFoundError:
        return False
    return state.rpartition(")")[2].split()[0] != "Z"
