"""People: added once, found by nickname or number, deleted with all that is theirs."""

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import select

from beadcheck.errors.log import PhotoNotDeletedError, UnknownPersonError
from beadcheck.log import (
    Corrected,
    Correction,
    NewPerson,
    add_people,
    forget_person,
    measurement_of,
    measurements,
    open_log,
    people,
    save,
)
from beadcheck.log.tables import coupon

from .conftest import NOON

CLASS = (
    NewPerson(name="Tern", number="0017", class_name="second term"),
    NewPerson(name="0021", number="0021", class_name="second term"),
)


def test_a_class_is_added_once_and_zeros_stay(log):
    assert add_people(log, CLASS, at=NOON).added == CLASS
    again = add_people(log, [*CLASS, NewPerson(name="Gull")], at=NOON)
    assert again.already == CLASS
    assert [each.name for each in again.added] == ["Gull"]
    assert [(each.name, each.number) for each in people(log)] == [
        ("Gull", None),
        ("0021", "0021"),
        ("Tern", "0017"),
    ]


def test_a_number_without_its_zeros_is_another_person(log):
    add_people(log, CLASS, at=NOON)
    assert len(add_people(log, [NewPerson(name="17")], at=NOON).added) == 1


def test_people_know_how_much_of_theirs_there_is(log, entry):
    save(log, entry())
    save(log, entry(person="tern"))
    (tern,) = people(log)
    assert tern.measurements == 2
    assert tern.last_measured_at == NOON


def test_a_forgotten_person_takes_measurements_and_photos_along(log, entry, picture):
    save(log, entry(photos=(picture(10),)))
    shared = picture(20)
    save(log, entry(photos=(shared,)))
    others = save(log, entry(photos=(shared,), person="Gull"))
    gone = forget_person(log, "TERN")
    assert (gone.person, gone.coupons, gone.measurements, gone.photos) == ("Tern", 1, 2, 1)
    assert [each.number for each in measurements(log)] == [others.number]
    (kept,) = measurement_of(log, others.number).photos
    assert kept.copy.is_file()
    assert [path.stem for path in log.address.photos.rglob("*.jpg")] == [kept.copy.stem]


def test_a_person_whose_photo_cannot_be_deleted_stays(log, entry, monkeypatch):
    save(log, entry())

    def refused(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "unlink", refused)
    with pytest.raises(PhotoNotDeletedError, match="permission denied"):
        forget_person(log, "Tern")
    monkeypatch.undo()
    assert [each.measurements for each in people(log)] == [1]


def test_what_a_forgotten_person_did_for_others_stays_without_the_name(log, entry):
    corrections = (Correction(what=Corrected.TOES, by="Gull"),)
    saved = save(log, entry(measured_by="Gull", corrections=corrections))
    forget_person(log, "Gull")
    back = measurement_of(log, saved.number)
    assert back.logged.measured_by is None
    assert back.corrections[0].by is None


def corrected(number: int) -> tuple[Correction, ...]:
    return (Correction(what=Corrected.OTHER, by="Brisk", corrects=number),)


def test_what_was_first_kept_under_a_wrong_name_is_forgotten_with_whose_it_is(log, entry, picture):
    kept = save(log, entry(photos=(picture(30),), coupon="Terns own")).number
    wrong = save(log, entry(photos=(picture(99),))).number
    save(log, entry(person="Gull", photos=(picture(99),), corrections=corrected(wrong)))
    gone = forget_person(log, "Gull")
    assert (gone.measurements, gone.photos) == (2, 1)
    assert [each.number for each in measurements(log)] == [kept]
    with log.reading() as connection:
        assert connection.scalars(select(coupon.c.name)).all() == ["Terns own"]


def test_a_correction_of_another_photo_forgets_nothing_of_others(log, entry, picture):
    kept = save(log, entry(photos=(picture(30),))).number
    save(log, entry(person="Gull", photos=(picture(99),), corrections=corrected(kept)))
    forget_person(log, "Gull")
    assert [each.number for each in measurements(log)] == [kept]


def test_a_number_is_never_given_to_another_measurement(log, entry):
    first = save(log, entry()).number
    forget_person(log, "Tern")
    assert save(log, entry(person="Gull")).number > first


def test_nobody_of_that_name_can_be_forgotten(log, entry):
    save(log, entry())
    with pytest.raises(UnknownPersonError):
        forget_person(log, "Moth")
    assert len(people(log)) == 1


def test_what_is_forgotten_is_not_in_the_files_any_more(sqlite_address, entry):
    nickname = "a nickname that stands nowhere else"
    with open_log(sqlite_address) as log:
        save(log, entry(person=nickname))
        save(log, entry(person="Gull"))
        forget_person(log, nickname)
    folder = sqlite_address.file.parent
    for path in folder.glob("log.sqlite3*"):
        assert nickname.encode() not in path.read_bytes()
    with sqlite3.connect(sqlite_address.file) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
