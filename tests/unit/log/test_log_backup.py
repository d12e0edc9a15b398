"""A back-up holds everything, and gives the same rows and photos back on either database."""

import json
import zipfile
from datetime import timedelta

import pytest
from sqlalchemy import select

from beadcheck.errors.log_backup import (
    BackupDamagedError,
    BackupNewerError,
    BackupNotWrittenError,
    FileInTheWayError,
    LogNotEmptyError,
    NotABackupError,
)
from beadcheck.log import (
    Corrected,
    Correction,
    NewPerson,
    add_people,
    back_up,
    measurement_of,
    open_log,
    people,
    restore,
    save,
)
from beadcheck.log.photos import is_whole
from beadcheck.log.tables import METADATA

from .conftest import NOON


def every_row(log) -> dict[str, list[tuple[object, ...]]]:
    with log.reading() as connection:
        return {
            table.name: [
                tuple(row)
                for row in connection.execute(select(table).order_by(*table.primary_key.columns))
            ]
            for table in METADATA.sorted_tables
        }


@pytest.fixture
def sqlite_log(sqlite_address):
    """A log in a file, with one person."""
    with open_log(sqlite_address) as log:
        add_people(log, [NewPerson(name="Tern")], at=NOON)
        yield log


@pytest.fixture
def filled(log, entry, picture):
    """A log with three measurements of two people; the first was corrected."""
    first = save(log, entry(coupon_file='person = "Tërn"\n', limit_set="pipe-coupon"))
    corrections = (Correction(what=Corrected.TOES, by="Gull", corrects=first.number),)
    save(log, entry(corrections=corrections, measured_at=NOON + timedelta(seconds=0.25)))
    save(log, entry(person="Gull", photos=(picture(200),)))
    return log


@pytest.mark.parametrize("other", ["sqlite", "postgresql"])
def test_the_same_rows_and_photos_come_back_on_either_database(filled, addresses, tmp_path, other):
    file = tmp_path / "november.zip"
    done = back_up(filled, file, at=NOON)
    assert (done.measurements, done.photos, done.missing) == (3, 2, 0)
    with open_log(addresses(other)) as log:
        back = restore(log, file)
        assert (back.measurements, back.photos) == (3, 2)
        assert every_row(log) == every_row(filled)
        photos = list(log.address.photos.rglob("*.jpg"))
        assert len(photos) == 2
        assert all(is_whole(path) for path in photos)


def test_numbers_go_on_after_those_that_came_back(filled, addresses, kind, entry, tmp_path):
    back_up(filled, tmp_path / "november.zip", at=NOON)
    with open_log(addresses(kind)) as log:
        restore(log, tmp_path / "november.zip")
        saved = save(log, entry(person="Moth", coupon="M-1"))
        assert saved.number == 4
        assert measurement_of(log, 4).logged.person == "Moth"


def test_a_photo_that_is_gone_is_counted_and_the_rest_is_backed_up(filled, addresses, tmp_path):
    next(iter(filled.address.photos.rglob("*.jpg"))).write_bytes(b"spoilt")
    done = back_up(filled, tmp_path / "b.zip", at=NOON)
    assert (done.photos, done.missing) == (1, 1)
    with open_log(addresses("sqlite")) as log:
        assert restore(log, tmp_path / "b.zip").photos == 1


def test_a_file_that_is_there_is_left_alone(filled, tmp_path):
    file = tmp_path / "b.zip"
    file.write_text("mine", "utf-8")
    with pytest.raises(FileInTheWayError):
        back_up(filled, file, at=NOON)
    assert file.read_text("utf-8") == "mine"


def test_a_back_up_that_cannot_be_written_leaves_nothing(filled, tmp_path):
    with pytest.raises(BackupNotWrittenError):
        back_up(filled, tmp_path / "no folder" / "b.zip", at=NOON)
    assert not list(tmp_path.rglob("*b.zip*"))


def test_nothing_is_brought_back_into_a_log_that_is_in_use(filled, tmp_path):
    back_up(filled, tmp_path / "b.zip", at=NOON)
    before = every_row(filled)
    with pytest.raises(LogNotEmptyError):
        restore(filled, tmp_path / "b.zip")
    assert every_row(filled) == before


def altered(source, target, changes) -> None:
    """Copy an archive with some of its members replaced, or left out where None stands."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            contents = changes.get(name, old.read(name))
            if contents is not None:
                new.writestr(name, contents)


def test_a_damaged_back_up_brings_nothing_back(filled, addresses, tmp_path):
    file, broken = tmp_path / "b.zip", tmp_path / "broken.zip"
    back_up(filled, file, at=NOON)
    with zipfile.ZipFile(file) as archive:
        photos = [name for name in archive.namelist() if name.startswith("photos/")]
        lines = archive.read("rows/measurement.jsonl").splitlines(keepends=True)
    for changes in (
        {photos[-1]: b"another picture"},
        {"rows/measurement.jsonl": b"".join(lines[:-1])},
        {"rows/measurement.jsonl": b"{]"},
        {"rows/person.jsonl": None},
    ):
        broken.unlink(missing_ok=True)
        altered(file, broken, changes)
        with open_log(addresses("sqlite")) as log:
            with pytest.raises(BackupDamagedError):
                restore(log, broken)
            assert people(log) == ()
            assert list(log.address.photos.rglob("*.jpg")) == []


@pytest.mark.parametrize("contents", [b"", b"no archive", b"PK\x03\x04 cut off"])
def test_what_is_no_back_up_is_told(log, tmp_path, contents):
    file = tmp_path / "b.zip"
    file.write_bytes(contents)
    with pytest.raises(NotABackupError):
        restore(log, file)
    with pytest.raises(NotABackupError):
        restore(log, tmp_path / "missing.zip")


@pytest.mark.parametrize(
    ("layout", "refusal", "words"),
    [
        ("99", BackupNewerError, "newer beadcheck"),
        (None, NotABackupError, "does not name its layout"),
    ],
)
def test_a_back_up_of_another_layout_is_told(filled, addresses, tmp_path, layout, refusal, words):
    back_up(filled, tmp_path / "b.zip", at=NOON)
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        contents = json.loads(archive.read("backup.json"))
    contents["layout"] = layout
    altered(tmp_path / "b.zip", tmp_path / "new.zip", {"backup.json": json.dumps(contents)})
    with open_log(addresses("sqlite")) as log:
        with pytest.raises(refusal, match=words):
            restore(log, tmp_path / "new.zip")
        assert people(log) == ()


def test_rows_that_no_back_up_holds_are_told_and_nothing_comes_back(
    sqlite_log, addresses, tmp_path
):
    """Found by fuzzing: each of them stopped `restore` with an error of Python's own."""
    file, broken = tmp_path / "b.zip", tmp_path / "broken.zip"
    back_up(sqlite_log, file, at=NOON)
    with zipfile.ZipFile(file) as archive:
        contents = json.loads(archive.read("backup.json"))
        person = json.loads(archive.read("rows/person.jsonl").splitlines()[0])
    rows = [
        *(b"5", b"[]", b"null", b'"x"', b"[" * 100_000, b"{}"),
        *(
            json.dumps({**person, **changed}).encode()
            for changed in ({"id": 2**70}, {"added_at": 5}, {"added_at": []}, {"more": 1})
        ),
    ]
    counts = [json.dumps({**contents, "rows": each}).encode() for each in ([], 5, None, "x")]
    with open_log(addresses("sqlite")) as log:
        for name, each, refusal in (
            *(("rows/person.jsonl", row + b"\n", BackupDamagedError) for row in rows),
            *(("backup.json", count, NotABackupError) for count in counts),
            ("backup.json", b"[" * 100_000, NotABackupError),
            ("backup.json", b" " * 2_000_000 + json.dumps(contents).encode(), NotABackupError),
        ):
            broken.unlink(missing_ok=True)
            altered(file, broken, {name: each})
            with pytest.raises(refusal):
                restore(log, broken)
            assert people(log) == ()


def test_an_archive_packed_in_another_way_is_no_back_up(sqlite_log, addresses, tmp_path):
    file, other = tmp_path / "b.zip", tmp_path / "other.zip"
    back_up(sqlite_log, file, at=NOON)
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(other, "w", zipfile.ZIP_LZMA) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    with open_log(addresses("sqlite")) as log, pytest.raises(NotABackupError):
        restore(log, other)
