"""The steps of the layout make the tables that the code knows, and keep what was in them."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import inspect

from beadcheck.errors.log import LogError
from beadcheck.errors.log_backup import (
    BackupOlderError,
)
from beadcheck.log import back_up, layout, measurement_of, open_log, people, restore, save
from beadcheck.log.layout import known_revisions, newest_revision, revision_of
from beadcheck.log.tables import METADATA

from .conftest import NOON
from .test_log_backup import every_row

LATER_STEP = """
import sqlalchemy as sa
from alembic import op

revision = "2"
down_revision = "1"


def upgrade():
    with op.batch_alter_table("coupon") as table:
        table.add_column(sa.Column("booth", sa.String(40)))
"""
BROKEN_STEP = LATER_STEP + "    op.execute('no statement')\n"


def add_step(folder, text: str, monkeypatch) -> None:
    """Let the program know one layout more than its tables have."""
    shutil.copytree(layout._FOLDER, folder)
    (folder / "versions" / "later.py").write_text(text, "utf-8")
    monkeypatch.setattr(layout, "_FOLDER", folder)


def test_the_steps_make_exactly_the_tables_that_the_code_knows(log):
    with log.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []
        assert revision_of(connection) == newest_revision()


def test_every_constraint_has_the_name_that_a_later_step_needs(log):
    with log.reading() as connection:
        inspector = inspect(connection)
        for table in METADATA.tables:
            # SQLite keeps no name of a key that counts up by itself, and needs none.
            assert inspector.get_pk_constraint(table)["name"] in {f"pk_{table}", None}
            for key in inspector.get_foreign_keys(table):
                assert key["name"] == f"fk_{table}_{key['constrained_columns'][0]}"


def test_a_log_is_opened_again_without_a_change(address):
    for _ in range(2):
        with open_log(address) as log, log.reading() as connection:
            assert revision_of(connection) in known_revisions()
    assert address.file is None or not list(address.file.parent.glob("*before-change*"))


def test_a_log_of_an_earlier_layout_is_brought_on_and_reads_as_before(
    address, entry, tmp_path, monkeypatch
):
    with open_log(address) as log:
        number = save(log, entry()).number
        before, result = every_row(log), measurement_of(log, number).result
    add_step(tmp_path / "steps", LATER_STEP, monkeypatch)
    with open_log(address) as log:
        assert every_row(log) == before
        assert measurement_of(log, number).result == result
        with log.reading() as connection:
            assert revision_of(connection) == "2"
            columns = {each["name"] for each in inspect(connection).get_columns("coupon")}
        assert "booth" in columns
        save(log, entry(person="Gull"))
    if address.file is not None:
        (kept,) = address.file.parent.glob("*.before-change-of-1.sqlite3")
        with closing(sqlite3.connect(kept)) as copy:
            assert copy.execute("SELECT count(*) FROM measurement").fetchone() == (1,)
            assert copy.execute("SELECT version_num FROM alembic_version").fetchone() == ("1",)


def test_a_back_up_of_an_earlier_layout_is_told_from_a_later_one_and_brings_nothing(
    addresses, entry, tmp_path, monkeypatch
):
    file = tmp_path / "november.zip"
    with open_log(addresses("sqlite")) as log:
        save(log, entry())
        back_up(log, file, at=NOON)
    add_step(tmp_path / "steps", LATER_STEP, monkeypatch)
    with open_log(addresses("sqlite")) as log:
        with pytest.raises(BackupOlderError, match="older beadcheck"):
            restore(log, file)
        assert people(log) == ()


def test_a_step_that_fails_leaves_the_log_in_its_earlier_layout(
    address, entry, tmp_path, monkeypatch
):
    with open_log(address) as log:
        save(log, entry())
        before = every_row(log)
    with monkeypatch.context() as patch:
        add_step(tmp_path / "steps", BROKEN_STEP, patch)
        with pytest.raises(LogError):
            open_log(address)
    with open_log(address) as log:
        assert every_row(log) == before
        with log.reading() as connection:
            columns = {each["name"] for each in inspect(connection).get_columns("coupon")}
        assert "booth" not in columns
