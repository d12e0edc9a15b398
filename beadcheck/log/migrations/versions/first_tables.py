"""The first tables."""

from typing import Final

import sqlalchemy as sa
from alembic import op

from beadcheck.log.moment import Moment

revision: Final = "1"
down_revision: Final = None


def upgrade() -> None:
    """Make all tables."""
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("name_key", sa.String(length=80), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=True),
        sa.Column("number_key", sa.String(length=80), nullable=True),
        sa.Column("class_name", sa.String(length=80), nullable=True),
        sa.Column("added_at", Moment, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("name_key", name=op.f("uq_person_name_key")),
        sa.UniqueConstraint("number_key", name=op.f("uq_person_number_key")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "photo",
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("bytes", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_photo")),
    )
    op.create_table(
        "coupon",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("name_key", sa.String(length=80), nullable=False),
        sa.Column("shape", sa.String(length=40), nullable=False),
        sa.Column("outside_diameter_mm", sa.Float(), nullable=True),
        sa.Column("wall_thickness_mm", sa.Float(), nullable=True),
        sa.Column("position", sa.String(length=40), nullable=True),
        sa.Column("progression", sa.String(length=40), nullable=True),
        sa.Column("added_at", Moment, nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_coupon_person_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_coupon")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_coupon_person_id"), "coupon", ["person_id"], unique=False)
    op.create_index(
        op.f("ix_coupon_person_id_name_key"), "coupon", ["person_id", "name_key"], unique=False
    )
    op.create_table(
        "pass_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("coupon_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("name_key", sa.String(length=80), nullable=False),
        sa.Column("weld_pass", sa.String(length=40), nullable=True),
        sa.Column("process", sa.String(length=40), nullable=True),
        sa.Column("filler", sa.String(length=80), nullable=True),
        sa.Column("added_at", Moment, nullable=False),
        sa.ForeignKeyConstraint(
            ["coupon_id"], ["coupon.id"], name=op.f("fk_pass_run_coupon_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pass_run")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_pass_run_coupon_id"), "pass_run", ["coupon_id"], unique=False)
    op.create_table(
        "measurement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("pass_run_id", sa.Integer(), nullable=False),
        sa.Column("measured_at", Moment, nullable=False),
        sa.Column("day", sa.Integer(), nullable=False),
        sa.Column("measured_by_id", sa.Integer(), nullable=True),
        sa.Column("limit_set", sa.String(length=200), nullable=True),
        sa.Column("limit_edition", sa.String(length=200), nullable=True),
        sa.Column("made_with", sa.String(length=80), nullable=False),
        sa.Column("within", sa.Integer(), nullable=False),
        sa.Column("outside", sa.Integer(), nullable=False),
        sa.Column("undecided", sa.Integer(), nullable=False),
        sa.Column("not_measured", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["measured_by_id"],
            ["person.id"],
            name=op.f("fk_measurement_measured_by_id"),
            ondelete="SET NULL",
        ),
        sa.ForeignKeyConstraint(
            ["pass_run_id"],
            ["pass_run.id"],
            name=op.f("fk_measurement_pass_run_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_measurement_measured_at"), "measurement", ["measured_at"], unique=False
    )
    op.create_index(
        op.f("ix_measurement_measured_by_id"), "measurement", ["measured_by_id"], unique=False
    )
    op.create_index(
        op.f("ix_measurement_pass_run_id"), "measurement", ["pass_run_id"], unique=False
    )
    op.create_table(
        "correction",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("corrects_id", sa.Integer(), nullable=True),
        sa.Column("corrected_by_id", sa.Integer(), nullable=True),
        sa.Column("corrected_at", Moment, nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("why", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["corrected_by_id"],
            ["person.id"],
            name=op.f("fk_correction_corrected_by_id"),
            ondelete="SET NULL",
        ),
        sa.ForeignKeyConstraint(
            ["corrects_id"],
            ["measurement.id"],
            name=op.f("fk_correction_corrects_id"),
            ondelete="SET NULL",
        ),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_correction_measurement_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_correction")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_correction_corrected_by_id"), "correction", ["corrected_by_id"], unique=False
    )
    op.create_index(op.f("ix_correction_corrects_id"), "correction", ["corrects_id"], unique=False)
    op.create_index(
        op.f("ix_correction_measurement_id"), "correction", ["measurement_id"], unique=False
    )
    op.create_table(
        "document",
        sa.Column("measurement_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("result", sa.Text(), nullable=False),
        sa.Column("coupon_file", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_document_measurement_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("measurement_id", name=op.f("pk_document")),
    )
    op.create_table(
        "measured_photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("file", sa.String(length=255), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("photo_sha256", sa.String(length=64), nullable=True),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_measured_photo_measurement_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["photo_sha256"], ["photo.sha256"], name=op.f("fk_measured_photo_photo_sha256")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measured_photo")),
        sa.UniqueConstraint(
            "measurement_id", "place", name=op.f("uq_measured_photo_measurement_id_place")
        ),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_measured_photo_measurement_id"), "measured_photo", ["measurement_id"], unique=False
    )
    op.create_index(
        op.f("ix_measured_photo_photo_sha256"), "measured_photo", ["photo_sha256"], unique=False
    )
    op.create_table(
        "quantity",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("statistic", sa.String(length=40), nullable=False),
        sa.Column("side", sa.String(length=40), nullable=True),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("expanded_uncertainty", sa.Float(), nullable=False),
        sa.Column("unit", sa.String(length=40), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("photo", sa.Integer(), nullable=True),
        sa.Column("clock_deg", sa.Float(), nullable=True),
        sa.Column("for_pass", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_quantity_measurement_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quantity")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_quantity_measurement_id"), "quantity", ["measurement_id"], unique=False
    )
    op.create_index(
        "ix_quantity_wanted",
        "quantity",
        ["name", "statistic", "unit", "for_pass", "measurement_id"],
        unique=False,
    )
    op.create_table(
        "setting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("expanded_uncertainty", sa.Float(), nullable=True),
        sa.Column("unit", sa.String(length=40), nullable=False),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_setting_measurement_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_setting")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_setting_measurement_id"), "setting", ["measurement_id"], unique=False)
