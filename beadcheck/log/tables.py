"""The tables of the log. Rows are added and, with a person, deleted; none is ever changed.

``key`` columns hold names as they are compared (`beadcheck.log.names`).
"""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from beadcheck.log.moment import Moment
from beadcheck.log.names import LONGEST_NAME

METADATA: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)
LONGEST_FILE_NAME: Final = 255
_WORD: Final = 40


def _number() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _of(table: str, *, column: str | None = None) -> Column[int]:
    """Reference to a row that this one goes with, and is deleted with."""
    reference = ForeignKey(f"{table}.id", ondelete="CASCADE")
    return Column(column or f"{table}_id", Integer, reference, nullable=False, index=True)


def _by(column: str, table: str) -> Column[int]:
    """Reference to a row that may be deleted while this one stays."""
    reference = ForeignKey(f"{table}.id", ondelete="SET NULL")
    return Column(column, Integer, reference, nullable=True, index=True)


person = Table(
    "person",
    METADATA,
    _number(),
    Column("name", String(LONGEST_NAME), nullable=False),
    Column("name_key", String(LONGEST_NAME), nullable=False, unique=True),
    Column("number", String(LONGEST_NAME)),
    Column("number_key", String(LONGEST_NAME), unique=True),
    Column("class_name", String(LONGEST_NAME)),
    Column("added_at", Moment, nullable=False),
    sqlite_autoincrement=True,  # a number is never given twice
)

coupon = Table(
    "coupon",
    METADATA,
    _number(),
    _of("person"),
    Column("name", String(LONGEST_NAME), nullable=False),
    Column("name_key", String(LONGEST_NAME), nullable=False),
    Column("shape", String(_WORD), nullable=False),
    Column("outside_diameter_mm", Float),
    Column("wall_thickness_mm", Float),
    Column("position", String(_WORD)),
    Column("progression", String(_WORD)),
    Column("added_at", Moment, nullable=False),
    Index(None, "person_id", "name_key"),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""A coupon as it was described; described otherwise later, it gets another row."""

pass_run = Table(
    "pass_run",
    METADATA,
    _number(),
    _of("coupon"),
    Column("name", String(LONGEST_NAME), nullable=False),
    Column("name_key", String(LONGEST_NAME), nullable=False),
    Column("weld_pass", String(_WORD)),
    Column("process", String(_WORD)),
    Column("filler", String(LONGEST_NAME)),
    Column("added_at", Moment, nullable=False),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""One pass of a coupon; described otherwise later, it gets another row."""

measurement = Table(
    "measurement",
    METADATA,
    _number(),
    _of("pass_run"),
    Column("measured_at", Moment, nullable=False, index=True),
    Column("day", Integer, nullable=False),
    _by("measured_by_id", "person"),
    Column("limit_set", String(200)),
    Column("limit_edition", String(200)),
    Column("made_with", String(80), nullable=False),
    Column("within", Integer, nullable=False),
    Column("outside", Integer, nullable=False),
    Column("undecided", Integer, nullable=False),
    Column("not_measured", Integer, nullable=False),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""One measurement of a pass; measured again, it gets another row. `day` counts UTC days as
``datetime.date.toordinal`` does, so that any database can group by day and week."""

document = Table(
    "document",
    METADATA,
    Column(
        "measurement_id",
        Integer,
        ForeignKey("measurement.id", ondelete="CASCADE"),
        primary_key=True,
        autoincrement=False,
    ),
    Column("result", Text, nullable=False),
    Column("coupon_file", Text),
)
"""The whole result as JSON, and the coupon file as it was; apart, so that lists stay quick."""

setting = Table(
    "setting",
    METADATA,
    _number(),
    _of("measurement"),
    Column("name", String(_WORD), nullable=False),
    Column("value", Float, nullable=False),
    Column("expanded_uncertainty", Float),
    Column("unit", String(_WORD), nullable=False),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""One number as set or stated for the pass."""

quantity = Table(
    "quantity",
    METADATA,
    _number(),
    Column(
        "measurement_id",
        Integer,
        ForeignKey("measurement.id", ondelete="CASCADE"),
        nullable=False,
    ),
    Column("name", String(_WORD), nullable=False),
    Column("statistic", String(_WORD), nullable=False),
    Column("side", String(_WORD)),
    Column("value", Float, nullable=False),
    Column("expanded_uncertainty", Float, nullable=False),
    Column("unit", String(_WORD), nullable=False),
    Column("count", Integer, nullable=False),
    Column("photo", Integer),
    Column("clock_deg", Float),
    Column("for_pass", Boolean, nullable=False),
    Index(None, "measurement_id"),
    Index("ix_quantity_wanted", "name", "statistic", "unit", "for_pass", "measurement_id"),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""One value of a result, so that a trend is a query. `for_pass` marks the one of its name,
statistic and side that stands for the whole pass: the coupon's, where several photos gave one, or
else that of the photo with most readings."""

photo = Table(
    "photo",
    METADATA,
    Column("sha256", String(64), primary_key=True),
    Column("width_px", Integer, nullable=False),
    Column("height_px", Integer, nullable=False),
    Column("bytes", Integer, nullable=False),
)
"""A kept copy of a photo: upright, without what its camera wrote into it."""

measured_photo = Table(
    "measured_photo",
    METADATA,
    _number(),
    _of("measurement"),
    Column("place", Integer, nullable=False),
    Column("file", String(LONGEST_FILE_NAME), nullable=False),
    Column("kind", String(_WORD), nullable=False),
    Column("photo_sha256", String(64), ForeignKey("photo.sha256"), index=True),
    UniqueConstraint("measurement_id", "place"),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""A photo of a measurement, at its index in the result; without a copy where the file was no
picture."""

correction = Table(
    "correction",
    METADATA,
    _number(),
    _of("measurement"),
    _by("corrects_id", "measurement"),
    _by("corrected_by_id", "person"),
    Column("corrected_at", Moment, nullable=False),
    Column("what", String(_WORD), nullable=False),
    Column("why", Text),
    sqlite_autoincrement=True,  # a number is never given twice
)
"""What a person corrected in a measurement, and which earlier measurement it takes the place of."""
