"""Runs the installed command as a user does."""

import functools
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
COMMAND = Path(sys.executable).with_name("beadcheck")

Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def samples() -> Path:
    return ROOT / "samples"


def run_command(*arguments, cwd, **environment) -> "subprocess.CompletedProcess[str]":
    """Run ``beadcheck`` with arguments in a folder; nothing waits for a person.

    Calibrated cameras and the log are kept in the folder, never where this machine's user keeps
    them.
    """
    return subprocess.run(
        [COMMAND, *map(str, arguments)],
        cwd=cwd,
        env={
            **os.environ,
            "OMP_NUM_THREADS": "1",
            "BEADCHECK_CAMERAS": str(Path(cwd) / "cameras"),
            "BEADCHECK_LOG": str(Path(cwd) / "log.sqlite3"),
            **environment,
        },
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        encoding="utf-8",
        timeout=300,
    )


@pytest.fixture
def run(tmp_path) -> Run:
    """Run ``beadcheck`` with arguments, in an empty folder."""
    return functools.partial(run_command, cwd=tmp_path)
