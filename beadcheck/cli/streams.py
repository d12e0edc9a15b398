"""Standard output and standard error, which may be closed early or speak few characters."""

import os
import sys
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.console import RenderableType


def prepare_streams() -> None:
    """Let a terminal that lacks a character show a question mark rather than fail."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def put(text: str) -> None:
    """Print on standard output; a reader that has gone away (``| head``) is no failure."""
    _write(sys.stdout, text)


def tell(text: str) -> None:
    """Print on standard error."""
    _write(sys.stderr, text)


def shown(renderable: "RenderableType") -> str:
    """What rich makes of a table, for standard output as it is: coloured on a terminal alone."""
    from rich.console import Console

    console = Console()
    if not console.is_terminal:
        # A file or another program has no width; long cells then stay on few lines.
        console = Console(width=160)
    with console.capture() as capture:
        console.print(renderable)
    lines = capture.get().rstrip("\n").split("\n")
    return "\n".join(line.rstrip() for line in lines)


def close_streams() -> None:
    """Flush both streams, quietly where the reader has gone."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except BrokenPipeError:
            _muffle(stream)


def _write(stream: TextIO, text: str) -> None:
    try:
        stream.write(text + "\n")
        stream.flush()
    except BrokenPipeError:
        _muffle(stream)


def _muffle(stream: TextIO) -> None:
    """Send the rest of a stream nowhere, so that Python's own flush at the end stays quiet."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)
