"""Adding a row."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, Table, insert


def new_row(connection: Connection, table: Table, values: Mapping[str, Any]) -> int:
    """Add a row to a table that numbers its rows; return the number."""
    returned = insert(table).values(dict(values)).returning(table.c.id)
    return int(connection.execute(returned).scalar_one())
