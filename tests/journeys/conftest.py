"""Runs the command as a user does, in a process of its own."""

import functools
import multiprocessing
import os
import runpy
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

ROOT = Path(__file__).parents[2]
COMMAND = Path(sys.executable).with_name("beadcheck")
CHILD: Final = Path(__file__).with_name("forked_command.py")
SLOWEST_S: Final = 300.0

Run = Callable[..., "subprocess.CompletedProcess[str]"]

FORK_SERVER: Final = multiprocessing.get_context("forkserver")
"""Has read the libraries once, which is a third of what a command costs, and forks for each run."""
FORK_SERVER.set_forkserver_preload(
    [
        "beadcheck.cli",
        "beadcheck.pipeline",
        "beadcheck.report.folder",
        "beadcheck.report.table",
        "beadcheck.log",
        "beadcheck.sheet",
        "beadcheck.trends",
    ]
)


@pytest.fixture(scope="session")
def samples() -> Path:
    return ROOT / "samples"


def run_command(*arguments, cwd, **environment) -> "subprocess.CompletedProcess[str]":
    """Run the command with arguments in a folder, and return what it left and wrote.

    Calibrated cameras and the log are kept in the folder, never where this machine's user keeps
    them. The installed script calls the same `main`: see `run_script`.
    """
    given = {
        **os.environ,
        "BEADCHECK_CAMERAS": str(Path(cwd) / "cameras"),
        "BEADCHECK_LOG": str(Path(cwd) / "log.sqlite3"),
        **environment,
    }
    words = [str(each) for each in arguments]
    with tempfile.NamedTemporaryFile() as told, tempfile.NamedTemporaryFile() as said:
        order = (words, str(cwd), given, told.name, said.name)
        # By its path: what pytest imports from here has no name that the server would find.
        call = (str(CHILD), {"ORDER": order}, "__main__")
        child = FORK_SERVER.Process(target=runpy.run_path, args=call)
        child.start()
        child.join(SLOWEST_S)
        if child.exitcode is None:
            child.kill()
            raise subprocess.TimeoutExpired(["beadcheck", *words], SLOWEST_S)
        out, err = (Path(each.name).read_text("utf-8") for each in (told, said))
    return subprocess.CompletedProcess(["beadcheck", *words], child.exitcode, out, err)


def run_script(*arguments, cwd, **environment) -> "subprocess.CompletedProcess[str]":
    """Run the installed script itself, libraries read anew."""
    return subprocess.run(
        [COMMAND, *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        encoding="utf-8",
        timeout=SLOWEST_S,
    )


@pytest.fixture
def run(tmp_path) -> Run:
    """Run ``beadcheck`` with arguments, in an empty folder."""
    return functools.partial(run_command, cwd=tmp_path)


@pytest.fixture
def heeded_interrupts():
    """Let children heed Ctrl-C even where a shell in the background lets its own ignore it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)
