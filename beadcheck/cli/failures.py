"""What each failure says, and the exit code that it leaves."""

import contextlib
import os
import tempfile
import traceback
from typing import Final

import typer

from beadcheck.cli.streams import tell
from beadcheck.errors import BeadcheckError, InputFileError, SettingError

MEASURED: Final = 0
NOT_MEASURED: Final = 1
WRONG_USAGE: Final = 2
FOUND_OUTSIDE: Final = 3
INTERRUPTED: Final = 130
"""128 and the number of SIGINT, as shells count."""


def exit_code_of(error: BaseException) -> int:
    """Say a failure in one sentence on standard error; return the exit code.

    An unforeseen failure leaves its details in a file of the temporary folder.
    """
    code, sentence = _said(error)
    tell(sentence)
    return code


def _said(error: BaseException) -> tuple[int, str]:
    """Exit code and sentence of a failure."""
    match error:
        case KeyboardInterrupt() | typer.Abort():
            said = INTERRUPTED, "Stopped."
        case typer.TyperException():
            said = WRONG_USAGE, f"{_as_sentence(error.format_message())} See --help."
        case SettingError() | InputFileError():
            said = WRONG_USAGE, str(error)
        case BeadcheckError():
            said = NOT_MEASURED, str(error)
        case ValueError() if _is_from_caller(error):
            said = WRONG_USAGE, _as_sentence(str(error))
        case ImportError() if "cannot open shared object file" in str(error):
            library = str(error).split(":", maxsplit=1)[0]
            said = (
                NOT_MEASURED,
                (
                    f"OpenCV needs the system library {library}, which is not installed; on Debian "
                    "or Ubuntu, install it with: apt-get install libgl1 libglib2.0-0"
                ),
            )
        case _:
            said = (
                NOT_MEASURED,
                (
                    "beadcheck stopped on a mistake of its own "
                    f"({type(error).__name__}); {_kept_details(error)}"
                ),
            )
    return said


def _is_from_caller(error: ValueError) -> bool:
    """Whether a check of ours raised it: its last frame is a ``raise`` in beadcheck.

    What NumPy refuses shows our line too, but that line raises nothing: a mistake of our own.
    """
    frames = traceback.extract_tb(error.__traceback__)
    if not frames:
        return False
    last = frames[-1]
    is_ours = f"{os.sep}beadcheck{os.sep}" in last.filename
    return is_ours and (last.line or "").startswith("raise ")


def _as_sentence(text: str) -> str:
    text = " ".join(text.replace("Value error, ", "").split())
    return f"{text[:1].upper()}{text[1:]}" + ("" if text.endswith((".", "!", "?")) else ".")


def _kept_details(error: BaseException) -> str:
    details = "".join(traceback.format_exception(error))
    with contextlib.suppress(OSError):
        handle, path = tempfile.mkstemp(prefix="beadcheck-", suffix=".log", text=True)
        with os.fdopen(handle, "w", encoding="utf-8", errors="replace") as log:
            log.write(details)
        return f"the details are in {path}."
    return "the details could not be kept, as the temporary folder cannot be written."
