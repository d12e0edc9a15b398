"""Where the log is: a file of the user's own, or a database on a server."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import platformdirs
from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from beadcheck.errors.log import LogAddressError

LOG_VARIABLE: Final = "BEADCHECK_LOG"
PHOTOS_VARIABLE: Final = "BEADCHECK_LOG_PHOTOS"
USUAL_NAME: Final = "log.sqlite3"
PHOTOS_ENDING: Final = ".photos"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogAddress:
    """A database, and the folder of its photos.

    Attributes
    ----------
    file
        The database's file; None where a server keeps it.
    """

    url: URL
    photos: Path
    file: Path | None

    def __str__(self) -> str:
        return str(self.file) if self.file else self.url.render_as_string(hide_password=True)


def log_address(environment: Mapping[str, str], named: str | None = None) -> LogAddress:
    """Where the log is: as named, or else by ``BEADCHECK_LOG``, or else in the user's own folder.

    The photos lie beside a database that is a file; of one on a server, in the folder that
    ``BEADCHECK_LOG_PHOTOS`` names, or else in the user's own.

    Raises
    ------
    LogAddressError

    Examples
    --------
    >>> address = log_address({}, "term/welds.sqlite3")
    >>> str(address), address.photos.as_posix()
    ('term/welds.sqlite3', 'term/welds.photos')
    """
    text = named or environment.get(LOG_VARIABLE) or str(_own_folder() / USUAL_NAME)
    if "://" not in text:
        return _in_file(Path(text))
    try:
        url = make_url(text)
    except ArgumentError:
        raise LogAddressError(text) from None
    if url.get_backend_name() == "sqlite" and url.database:
        return _in_file(Path(url.database))
    if url.get_backend_name() not in {"postgresql", "postgres"}:
        raise LogAddressError(url.render_as_string(hide_password=True))
    folder = environment.get(PHOTOS_VARIABLE)
    name = f"{url.database or 'log'}-on-{url.host or 'this-machine'}{PHOTOS_ENDING}"
    return LogAddress(
        url=url.set(drivername="postgresql+psycopg"),
        photos=Path(folder) if folder else _own_folder() / name,
        file=None,
    )


def _own_folder() -> Path:
    return platformdirs.user_data_path("beadcheck", appauthor=False)


def _in_file(path: Path) -> LogAddress:
    return LogAddress(
        url=URL.create("sqlite+pysqlite", database=str(path)),
        photos=path.with_suffix(PHOTOS_ENDING),
        file=path,
    )
