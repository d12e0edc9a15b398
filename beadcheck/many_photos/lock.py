"""One writer at a time; the system lets go of the lock itself when a process ends, however."""

import sys
from typing import BinaryIO

if sys.platform == "win32":
    import msvcrt

    _FAR_BEYOND_THE_END = 1 << 30

    def locked(file: BinaryIO) -> bool:
        """Keep others out of an open file until it is closed; False where somebody else does."""
        file.seek(_FAR_BEYOND_THE_END)  # bytes that are locked can be read by nobody
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def locked(file: BinaryIO) -> bool:
        """Keep others out of an open file until it is closed; False where somebody else does."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
