"""The folder that holds what was sent and made: private, and swept."""

import os
import shutil
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

PREFIX: Final = "beadcheck-page-"
SWEEP_S: Final = 60.0
LEFT_BEHIND_S: Final = 15 * 60.0
"""A running page touches its folder at each sweep; an older one was left when it was killed."""


@contextmanager
def lodging() -> Iterator[Path]:
    """Make a folder for this run, readable by this user alone; sweep it away at the end."""
    sweep_left_behind(Path(tempfile.gettempdir()))
    folder = Path(tempfile.mkdtemp(prefix=PREFIX))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def sweep_left_behind(parent: Path) -> None:
    """Delete the folders of runs that ended without sweeping."""
    oldest_s = time.time() - LEFT_BEHIND_S
    for folder in parent.glob(f"{PREFIX}*"):
        try:
            status = folder.lstat()
            ours = not hasattr(os, "getuid") or status.st_uid == os.getuid()
        except OSError:
            continue
        if ours and folder.is_dir() and not folder.is_symlink() and status.st_mtime < oldest_s:
            shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def regular_sweeps(folder: Path, sweep: Callable[[], None]) -> Iterator[None]:
    """Call `sweep` once a minute from a thread of its own, and mark the folder as in use."""
    ended = threading.Event()

    def keep_sweeping() -> None:
        while not ended.wait(SWEEP_S):
            sweep()
            os.utime(folder)

    thread = threading.Thread(target=keep_sweeping, name="sweeper", daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()
