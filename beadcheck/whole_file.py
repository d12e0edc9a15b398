"""Writing a file whole, or not at all."""

import tempfile
from collections.abc import Iterable
from pathlib import Path

from beadcheck.errors.setting import FileNotWritableError


def write_whole(path: Path, parts: Iterable[bytes]) -> None:
    """Write bytes, one part after another, to a file that shows only once it is complete.

    Raises
    ------
    FileNotWritableError
    """
    try:
        with tempfile.TemporaryDirectory(prefix=".beadcheck-", dir=path.parent) as folder:
            passing = Path(folder) / path.name
            with passing.open("wb") as file:
                file.writelines(parts)
            passing.replace(path)
    except OSError as error:
        why = (error.strerror or "the system refuses").lower()
        raise FileNotWritableError(str(path), why) from error
