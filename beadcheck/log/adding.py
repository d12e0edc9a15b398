"""Adding a row."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, Table, insert, select


def new_row(connection: Connection, table: Table, values: Mapping[str, Any]) -> int:
    """Add a row to a table that numbers its rows; return the number."""
    returned = insert(table).values(dict(values)).returning(table.c.id)
    return int(connection.execute(returned).scalar_one())


def same_or_new(
    connection: Connection, table: Table, alike: Mapping[str, Any], also: Mapping[str, Any]
) -> int:
    """Row that was described the same, or else a new one."""
    # SQLAlchemy writes "IS NULL" where a value is None.
    same = select(table.c.id).where(*(table.c[key] == value for key, value in alike.items()))
    found = connection.scalar(same.order_by(table.c.id))
    if found is not None:
        return int(found)
    return new_row(connection, table, {**alike, **also})
