"""What a database says when it fails, as one sentence of ours."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError, NoSuchModuleError, SQLAlchemyError

from beadcheck.errors import LogError
from beadcheck.errors.log import (
    LogBusyError,
    LogDamagedError,
    LogDriverMissingError,
    LogFullError,
    LogNotReachableError,
    LogRefusesError,
)
from beadcheck.log.address import LogAddress

_BUSY: Final = ("SQLITE_BUSY", "SQLITE_LOCKED", "55P03", "57014", "40001", "40P01")
_FULL: Final = ("SQLITE_FULL", "53100")
_DAMAGED: Final = ("SQLITE_CORRUPT", "SQLITE_NOTADB", "XX001", "XX002")
_NOT_REACHABLE: Final = (
    "SQLITE_CANTOPEN",
    "SQLITE_READONLY",
    "SQLITE_PERM",
    "SQLITE_AUTH",
    "28",
    "3D",
)
"""Starts of SQLite's result codes by name, and of PostgreSQL's SQLSTATE codes (appendix A of its
manual)."""


@contextmanager
def said_plainly(address: LogAddress, wait_s: float) -> Iterator[None]:
    """Turn a failure of the database into a refusal.

    Raises
    ------
    LogError
    """
    try:
        yield
    except (NoSuchModuleError, ModuleNotFoundError) as error:
        raise LogDriverMissingError(str(address)) from error
    except DBAPIError as error:
        raise _refusal(error, str(address), wait_s) from error
    except SQLAlchemyError as error:
        raise LogRefusesError(str(address), _first_line(error)) from error


def _refusal(error: DBAPIError, address: str, wait_s: float) -> LogError:
    cause = error.orig or error
    code = str(getattr(cause, "sqlite_errorname", None) or getattr(cause, "sqlstate", None) or "")
    why = _first_line(cause)
    if code.startswith(_BUSY):
        return LogBusyError(address, wait_s)
    if code.startswith(_FULL):
        return LogFullError(address)
    if code.startswith(_DAMAGED):
        return LogDamagedError(address, why)
    if code.startswith(_NOT_REACHABLE) or not code:
        # A server that does not answer at all has no code to give.
        return LogNotReachableError(address, why)
    return LogRefusesError(address, why)


def _first_line(error: BaseException) -> str:
    lines = str(error).strip().splitlines() or [type(error).__name__]
    return lines[0].rstrip(".")
