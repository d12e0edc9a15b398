"""A log on either database, and invented measurements to save in it."""

import os
from contextlib import ExitStack
from datetime import UTC, datetime
from itertools import count

import numpy as np
import pytest
from PIL import Image
from sqlalchemy import create_engine, text

from beadcheck.limits import Finding
from beadcheck.log import Entry, log_address, open_log
from beadcheck.result import (
    CheckRecord,
    CouponRecord,
    PhotoRecord,
    QuantityRecord,
    Result,
    SettingsRecord,
    StatedRecord,
    StationRecord,
)

from .postgres import running_server, server_programs

NOON = datetime(2026, 5, 18, 12, 0, tzinfo=UTC)
_DATABASES = count()


@pytest.fixture(scope="session")
def postgres():
    """Folder of the running server's socket."""
    programs = server_programs()
    if programs is None:
        if os.environ.get("CI"):
            pytest.fail("PostgreSQL is not installed: apt-get install postgresql")
        pytest.skip("PostgreSQL is not installed")
    with running_server(programs) as socket:
        yield socket


@pytest.fixture
def sqlite_address(tmp_path):
    return log_address({}, str(tmp_path / "log.sqlite3"))


@pytest.fixture
def addresses(request, tmp_path):
    """Make an empty log's address of one kind of database, as often as wanted."""
    with ExitStack() as stack:

        def address(kind: str):
            name = f"log{next(_DATABASES)}"
            if kind == "sqlite":
                return log_address({}, str(tmp_path / f"{name}.sqlite3"))
            socket = request.getfixturevalue("postgres")
            server = create_engine(
                f"postgresql+psycopg://tester@/postgres?host={socket}", isolation_level="AUTOCOMMIT"
            )
            stack.callback(server.dispose)
            stack.callback(_run, server, f"DROP DATABASE {name} WITH (FORCE)")
            _run(server, f"CREATE DATABASE {name}")
            photos = {"BEADCHECK_LOG_PHOTOS": str(tmp_path / f"{name}.photos")}
            return log_address(photos, f"postgresql://tester@/{name}?host={socket}")

        yield address


def _run(engine, statement: str) -> None:
    with engine.connect() as connection:
        connection.execute(text(statement))


@pytest.fixture(params=["sqlite", "postgresql"])
def kind(request):
    return request.param


@pytest.fixture
def address(addresses, kind):
    return addresses(kind)


@pytest.fixture
def log(address):
    with open_log(address) as opened:
        yield opened


@pytest.fixture
def picture(tmp_path):
    """Write a small picture of one's own grey; the same grey is the same picture."""

    def written(grey: int, name: str = "cap.jpg"):
        path = tmp_path / f"{grey}-{name}"
        Image.fromarray(np.full((336, 512, 3), grey, dtype=np.uint8)).save(path, quality=95)
        return path

    return written


def quantity(**said) -> QuantityRecord:
    usual = {
        "name": "weld_width",
        "statistic": "mean",
        "value": 9.91,
        "unit": "mm",
        "expanded_uncertainty": 0.18,
        "coverage_factor": 2.0,
        "count": 61,
        "scope": "photo",
        "photo": 0,
        "side": None,
        "s_range_mm": (4.0, 65.0),
    }
    return QuantityRecord(**{**usual, **said})


def check(finding: Finding) -> CheckRecord:
    return CheckRecord(
        name="weld_width", finding=finding, value=1.9, limit=3.2, unit="mm", source="shop rule"
    )


def result(*quantities: QuantityRecord, files=("cap.jpg",), **coupon) -> Result:
    """Result of a plate's cap, whose mean width and its spread were measured unless said."""
    usual = {
        "shape": "plate",
        "outside_diameter_mm": None,
        "wall_thickness_mm": 10.0,
        "weld_pass": "cap",
        "process": "gtaw-pulsed",
        "position": "1G",
        "peak_time_s": 0.5,
        "background_time_s": 0.4,
    }
    return Result(
        coupon=CouponRecord(**{**usual, **coupon}),
        settings=SettingsRecord(
            peak_current=StatedRecord(value=120.0, unit="A", expanded_uncertainty=6.9),
            motion="stepped",
        ),
        photos=tuple(
            PhotoRecord(
                file=file,
                kind="face",
                usable=True,
                px_per_mm=21.3,
                tilt_deg=8.1,
                distance_mm=205.0,
                problems=(),
            )
            for file in files
        ),
        stations=(
            StationRecord(
                photo=0,
                s_mm=30.0,
                clock_deg=92.5,
                left_toe_px=(10.0, 11.0),
                right_toe_px=(12.0, 40.0),
                weld_width_mm=9.9,
                weld_width_U_mm=0.2,
                sure=True,
                steady=True,
            ),
        ),
        quantities=quantities or (quantity(), quantity(statistic="sd", value=0.31)),
        checks=(check(Finding.WITHIN), check(Finding.WITHIN), check(Finding.OUTSIDE)),
        limits="Practice coupon",
        made_with="beadcheck 0.1.0",
    )


@pytest.fixture
def entry(picture):
    """Make an entry: Tern's cap on coupon P8-17, at noon, unless said."""

    def made(measured=None, **said) -> Entry:
        measured = measured or result()
        usual = {
            "photos": tuple(picture(40 + k) for k in range(len(measured.photos))),
            "person": "Tern",
            "coupon": "P8-17",
            "run": "cap",
            "measured_at": NOON,
        }
        return Entry(result=measured, **{**usual, **said})

    return made
