"""Whatever happens while something is saved, nothing that was saved before is lost."""

import pickle
import signal
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event, text

from beadcheck.errors.log import (
    LogAddressError,
    LogBusyError,
    LogDamagedError,
    LogDriverMissingError,
    LogFullError,
    LogNewerError,
    LogNotReachableError,
    NotALogError,
    PhotoNotKeptError,
)
from beadcheck.log import log_address, measurements, open_log, people, save
from beadcheck.log.photos import StagedCopy, is_whole

from .conftest import result

INTERRUPTED = """
import os, pickle, resource, signal, sys
from pathlib import Path
from sqlalchemy import event
from beadcheck.errors import LogError
from beadcheck.log import log_address, open_log, save
from beadcheck.log.photos import StagedCopy

when, address, photos, entry = sys.argv[1:]
log = open_log(log_address({"BEADCHECK_LOG_PHOTOS": photos}, address))

def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)

if when == "as a photo is written":
    os.fsync = die
elif when == "once the photos are at their places":
    settle = StagedCopy.settle
    StagedCopy.settle = lambda copy: die(settle(copy))
elif when == "before the transaction ends":
    event.listen(log.engine, "commit", die)
elif when == "no room for a photo":
    resource.setrlimit(resource.RLIMIT_FSIZE, (700, 700))
try:
    save(log, pickle.loads(Path(entry).read_bytes()))
except LogError as error:
    print(error)
"""


@pytest.fixture
def interrupted(tmp_path):
    """Save an entry in another program, which something happens to."""

    def run(when: str, address, entry) -> "subprocess.CompletedProcess[str]":
        told = tmp_path / "entry.pickle"
        told.write_bytes(pickle.dumps(entry))
        where = str(address.file) if address.file else address.url.render_as_string()
        return subprocess.run(
            [sys.executable, "-c", INTERRUPTED, when, where, address.photos, told],
            capture_output=True,
            check=False,
            text=True,
            timeout=60,
        )

    return run


def is_sound(file: Path) -> bool:
    with closing(sqlite3.connect(file)) as connection:
        whole = connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return whole and connection.execute("PRAGMA foreign_key_check").fetchall() == []


def is_one_sentence(error: BaseException) -> bool:
    said = str(error)
    return "\n" not in said and "Traceback" not in said and not said.startswith("(")


@pytest.mark.parametrize(
    "when",
    [
        "as a photo is written",
        "once the photos are at their places",
        "before the transaction ends",
    ],
)
def test_a_program_killed_while_it_saves_leaves_what_was_there_and_no_half(
    log, address, entry, interrupted, picture, when
):
    first = save(log, entry())
    done = interrupted(when, address, entry(person="Gull", photos=(picture(99),)))
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert [each.number for each in measurements(log)] == [first.number]
    assert [each.name for each in people(log)] == ["Tern"]
    if address.file is not None:
        assert is_sound(address.file)
    second = save(log, entry(person="Gull", photos=(picture(99),)))
    assert [each.number for each in measurements(log)] == [first.number, second.number]
    assert all(is_whole(path) for path in address.photos.rglob("*.jpg"))


def test_a_disk_without_room_for_a_photo_is_told_and_nothing_is_saved(
    log, address, entry, interrupted, picture
):
    first = save(log, entry())
    done = interrupted("no room for a photo", address, entry(photos=(picture(99),)))
    assert done.returncode == 0, done.stderr
    assert "cannot be kept" in done.stdout
    assert done.stdout.count("\n") == 1
    assert [each.number for each in measurements(log)] == [first.number]
    assert list(address.photos.glob("*.part")) == []


def test_a_photo_that_cannot_come_to_its_place_is_told_and_nothing_is_saved(
    log, entry, monkeypatch
):
    first = save(log, entry())

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(PhotoNotKeptError, match="no space left") as refused:
        save(log, entry(person="Gull"))
    assert is_one_sentence(refused.value)
    assert [each.number for each in measurements(log)] == [first.number]
    assert list(log.address.photos.glob("*.part")) == []


def test_of_several_photos_all_come_to_their_places_or_none(log, entry, monkeypatch):
    settle = StagedCopy.settle
    done = []

    def settled_once(copy):
        if done:
            raise PhotoNotKeptError("b.jpg", "photos", "no space left on device")
        done.append(settle(copy))

    monkeypatch.setattr(StagedCopy, "settle", settled_once)
    with pytest.raises(PhotoNotKeptError):
        save(log, entry(result(files=("a.jpg", "b.jpg"))))
    assert [path for path in log.address.photos.rglob("*") if path.is_file()] == []


def test_a_database_without_room_is_told_and_nothing_is_saved(sqlite_address, entry):
    with open_log(sqlite_address) as log:
        first = save(log, entry())
        event.listen(log.engine, "connect", _leave_no_room)
        log.engine.dispose()
        with pytest.raises(LogFullError) as refused:
            save(log, entry(person="Gull", coupon_file="x" * 200_000))
        assert is_one_sentence(refused.value)
    with open_log(sqlite_address) as log:
        assert [each.number for each in measurements(log)] == [first.number]
        assert [each.name for each in people(log)] == ["Tern"]
        assert is_sound(sqlite_address.file)
        save(log, entry(person="Gull"))


def _leave_no_room(connection, _) -> None:
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages + 2}")


def test_writers_take_turns_and_nothing_is_lost(address, entry):
    with open_log(address) as log:
        each_his = [entry(person=f"learner {k}") for k in range(4)]
        failures: list[BaseException] = []

        def save_three(mine) -> None:
            try:
                with open_log(address) as own:
                    for _ in range(3):
                        save(own, mine)
            except BaseException as error:  # told below
                failures.append(error)

        threads = [threading.Thread(target=save_three, args=(mine,)) for mine in each_his]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=60)
        assert failures == []
        assert len(measurements(log)) == 12
        assert {each.measurements for each in people(log)} == {3}


def test_a_log_that_another_program_keeps_locked_is_told(address, entry):
    with open_log(address) as log, open_log(address, wait_s=0.2) as hasty:
        first = save(log, entry())
        with log.writing():
            with pytest.raises(LogBusyError, match=r"0\.2 seconds") as refused:
                save(hasty, entry(person="Gull"))
            assert is_one_sentence(refused.value)
            # Whoever reads need not wait for whoever writes.
            assert [each.number for each in measurements(hasty)] == [first.number]
        save(hasty, entry(person="Gull"))


def test_two_who_open_a_new_log_at_once_both_get_it(address):
    logs, failures = [], []

    def opened() -> None:
        try:
            logs.append(open_log(address))
        except BaseException as error:  # told below
            failures.append(error)

    threads = [threading.Thread(target=opened) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert failures == []
    for log in logs:
        assert people(log) == ()
        log.close()


@pytest.mark.parametrize("size", [0.02, 0.5])
def test_a_damaged_database_is_told_and_left_as_it_is(sqlite_address, entry, size):
    with open_log(sqlite_address) as log:
        for k in range(8):
            save(log, entry(coupon=f"C{k}", coupon_file="x" * 5000))
    contents = bytearray(sqlite_address.file.read_bytes())
    start = 0 if size < 0.1 else 4096
    contents[start : start + int(size * len(contents))] = b"\xa5" * int(size * len(contents))
    sqlite_address.file.write_bytes(contents)
    with (
        pytest.raises(LogDamagedError, match="restore") as refused,
        open_log(sqlite_address) as log,
    ):
        measurements(log)
    assert is_one_sentence(refused.value)
    assert sqlite_address.file.read_bytes() == bytes(contents)


def test_a_file_that_is_no_database_is_told(sqlite_address):
    sqlite_address.file.write_text("a shopping list " * 100, "utf-8")
    with pytest.raises(LogDamagedError, match="not a database"):
        open_log(sqlite_address)


def test_another_programs_database_is_left_alone(sqlite_address):
    with closing(sqlite3.connect(sqlite_address.file)) as connection:
        connection.execute("CREATE TABLE songs (title TEXT)")
        connection.commit()
    with pytest.raises(NotALogError):
        open_log(sqlite_address)
    with closing(sqlite3.connect(sqlite_address.file)) as connection:
        tables = connection.execute("SELECT name FROM sqlite_master").fetchall()
    assert tables == [("songs",)]


def test_a_log_of_a_newer_version_is_left_alone(address, entry):
    with open_log(address) as log:
        save(log, entry())
        with log.writing() as connection:
            connection.execute(text("UPDATE alembic_version SET version_num = '99'"))
    with pytest.raises(LogNewerError, match="Update beadcheck"):
        open_log(address)


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_text("no folder", "utf-8")
    with pytest.raises(LogNotReachableError):
        open_log(log_address({}, str(tmp_path / "file" / "log.sqlite3")))
    with pytest.raises(LogNotReachableError):
        open_log(log_address({}, str(tmp_path)))


def test_a_server_that_does_not_answer_is_told_without_its_password(tmp_path):
    address = log_address({}, f"postgresql://tern:hidden@/log?host={tmp_path}")
    with pytest.raises(LogNotReachableError) as refused:
        open_log(address, wait_s=1.0)
    assert "hidden" not in str(refused.value)
    assert is_one_sentence(refused.value)


def test_a_missing_driver_is_told_with_what_to_install(monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(LogDriverMissingError, match="postgres"):
        open_log(log_address({}, f"postgresql://tern@/log?host={tmp_path}"))


@pytest.mark.parametrize("named", ["mysql://tern@server/log", "http://server/log", "://"])
def test_an_address_that_is_none_is_refused(named):
    with pytest.raises(LogAddressError):
        log_address({}, named)


def test_a_copy_is_settled_before_the_rows_are(log, entry, monkeypatch):
    seen = []
    settle = StagedCopy.settle
    monkeypatch.setattr(StagedCopy, "settle", lambda copy: seen.append(settle(copy)))
    event.listen(log.engine, "commit", lambda _: seen.append("rows"))
    save(log, entry())
    assert seen == [None, "rows"]
