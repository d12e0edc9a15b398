"""The layout of the database: which version it has, and the steps from each to the next."""

import sqlite3
from collections.abc import Callable
from contextlib import AbstractContextManager, closing
from pathlib import Path
from typing import Any, Final

from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect

from beadcheck.errors.log import LogNewerError, NotALogError
from beadcheck.log.address import LogAddress
from beadcheck.log.tables import METADATA

_FOLDER: Final = Path(__file__).with_name("migrations")
NEWEST: Final = "head"


def bring_up_to_date(
    engine: Engine,
    writing: Callable[[], AbstractContextManager[Connection]],
    address: LogAddress,
) -> None:
    """Make the tables, or bring them from an earlier layout to this one.

    Raises
    ------
    NotALogError, LogNewerError
    """
    with engine.connect() as connection, connection.begin():
        revision = _checked_revision(connection, address)
    if revision == newest_revision():
        return
    if revision is not None and address.file is not None:
        _copy(address.file, revision)
    with writing() as connection:
        # Another program may have done it meanwhile.
        if _checked_revision(connection, address) != newest_revision():
            run_steps(connection, NEWEST)


def newest_revision() -> str | None:
    """Return the layout that this version writes."""
    return _scripts().get_current_head()


def known_revisions() -> frozenset[str]:
    """Every layout that this version can read."""
    return frozenset(script.revision for script in _scripts().walk_revisions())


def revision_of(connection: Connection) -> str | None:
    """Layout that the database has; None where it has none of ours."""
    return MigrationContext.configure(connection).get_current_revision()


def run_steps(connection: Connection, revision: str) -> None:
    """Bring the tables to a layout, within the transaction that is open."""
    scripts = _scripts()

    def steps(current: Any, _: MigrationContext) -> list[Any]:  # alembic hides the types
        return scripts._upgrade_revs(revision, current)  # as alembic's manual shows

    with EnvironmentContext(_config(), scripts, fn=steps) as environment:
        environment.configure(connection=connection, target_metadata=METADATA, render_as_batch=True)
        environment.run_migrations()


def _checked_revision(connection: Connection, address: LogAddress) -> str | None:
    revision = revision_of(connection)
    if revision is None and inspect(connection).get_table_names():
        raise NotALogError(str(address))
    if revision is not None and revision not in known_revisions():
        raise LogNewerError(str(address), revision)
    return revision


def _copy(file: Path, revision: str) -> None:
    """Keep a copy of the whole database beside it, as it is before it changes its layout."""
    kept = file.with_name(f"{file.stem}.before-change-of-{revision}{file.suffix}")
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(kept)) as target:
        source.backup(target)


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    return config


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(_config())
