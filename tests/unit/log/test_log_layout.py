"""The steps of the layout make the tables that the code knows, there and back again."""

from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import inspect

from beadcheck.log import open_log
from beadcheck.log.layout import known_revisions, newest_revision, revision_of
from beadcheck.log.tables import METADATA


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
