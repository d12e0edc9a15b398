"""Opening the log: made where it is not there, and brought to this version's layout."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final, Self

from sqlalchemy import Connection, Engine, create_engine, event, text

from beadcheck.errors.log import LogNotReachableError
from beadcheck.log.address import LogAddress
from beadcheck.log.layout import bring_up_to_date
from beadcheck.log.refusals import said_plainly

WAIT_S: Final = 10.0
"""How long one program waits for another that writes."""
_WRITERS_LOCK: Final = 0x62656164
"""Of PostgreSQL's advisory locks the one that writers of a log take in turn."""
_WRITES: Final = "beadcheck_writes"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Log:
    """An open log. Threads may share it; so may programs share the database.

    As a context manager it closes itself.
    """

    address: LogAddress
    engine: Engine
    wait_s: float

    def close(self) -> None:
        """Give every connection back."""
        self.engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One consistent view of the log.

        Raises
        ------
        LogError
        """
        with said_plainly(self.address, self.wait_s), self.engine.connect() as connection:
            if connection.dialect.name != "sqlite":
                connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction, all or nothing; writers take turns, whichever program they are.

        Raises
        ------
        LogError
        """
        with said_plainly(self.address, self.wait_s), self.engine.connect() as connection:
            connection.execution_options(**{_WRITES: True})
            with connection.begin():
                if connection.dialect.name != "sqlite":
                    connection.execute(text(f"SELECT pg_advisory_xact_lock({_WRITERS_LOCK})"))
                yield connection


def open_log(address: LogAddress, *, wait_s: float = WAIT_S) -> Log:
    """Open the log; one of an earlier version is copied, then brought up to date.

    Parameters
    ----------
    wait_s
        How long to wait for another program that writes, in seconds.

    Raises
    ------
    LogError
        It cannot be opened, is damaged, is no log, or is of a newer version.
    """
    if address.file is not None:
        try:
            address.file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            why = (error.strerror or "the system refuses").lower()
            raise LogNotReachableError(str(address), why) from error
    with said_plainly(address, wait_s):
        log = Log(address=address, engine=_engine(address, wait_s), wait_s=wait_s)
        try:
            bring_up_to_date(log.engine, log.writing, log.address)
        except BaseException:
            log.close()
            raise
    return log


def _engine(address: LogAddress, wait_s: float) -> Engine:
    if address.file is None:
        milliseconds = round(1000.0 * wait_s)
        engine = create_engine(
            address.url,
            connect_args={
                "connect_timeout": max(1, round(wait_s)),
                "options": f"-c lock_timeout={milliseconds} -c timezone=UTC",
            },
        )
    else:
        engine = create_engine(address.url, connect_args={"timeout": wait_s})
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, _: object) -> None:  # the driver's own connection
    # Transactions are begun by `_begin_sqlite`; the driver would begin them too late.
    connection.isolation_level = None
    for pragma in (
        "journal_mode = WAL",  # readers and a writer do not wait for each other
        "synchronous = FULL",  # what was said to be saved outlives a power cut
        "foreign_keys = ON",
        "secure_delete = ON",  # what is deleted on request is overwritten
    ):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get(_WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
