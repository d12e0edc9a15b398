"""Points in time as the database keeps them."""

from datetime import UTC, datetime

from sqlalchemy import DateTime, Dialect
from sqlalchemy.types import TypeDecorator


class Moment(TypeDecorator[datetime]):
    """A point in time, in UTC whichever database keeps it.

    SQLite knows no zones and would give back what PostgreSQL gives with one; both give UTC here.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Time in UTC; one without a zone is a mistake of the caller's."""
        if value is None:
            return None
        if value.tzinfo is None:
            msg = "a moment needs its zone"
            raise ValueError(msg)
        in_utc = value.astimezone(UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002  # the signature of the base class
        """Time with its zone, UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
