"""Pickled values, one after another, through a pipe between two of our own processes."""

import pickle
from typing import Any, BinaryIO, Final

_LENGTH_BYTES: Final = 8


def send(pipe: BinaryIO, value: object) -> None:
    """Write one value.

    Raises
    ------
    OSError
        The other end is gone.
    """
    write(pipe, pickle.dumps(value, pickle.HIGHEST_PROTOCOL))


def write(pipe: BinaryIO, packed: bytes) -> None:
    """Write one value that is pickled already.

    Raises
    ------
    OSError
        The other end is gone.
    """
    pipe.write(len(packed).to_bytes(_LENGTH_BYTES, "little"))
    pipe.write(packed)
    pipe.flush()


def read(pipe: BinaryIO) -> bytes | None:
    """One value, still pickled; None where the other end is gone."""
    length = pipe.read(_LENGTH_BYTES)
    if len(length) < _LENGTH_BYTES:
        return None
    size = int.from_bytes(length, "little")
    packed = pipe.read(size)
    return packed if len(packed) == size else None


def receive(pipe: BinaryIO) -> Any:  # whatever the other end sent
    """One value; None where the other end is gone."""
    packed = read(pipe)
    return None if packed is None else pickle.loads(packed)  # noqa: S301  # our own process wrote it
