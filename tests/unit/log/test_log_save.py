"""What is saved comes back as it was, and nothing is ever overwritten."""

import hashlib
import os
from dataclasses import replace
from datetime import datetime, timedelta, timezone

import pytest
from PIL import Image
from sqlalchemy import select

from beadcheck.errors.log import NameNotUsableError, NoSuchMeasurementError
from beadcheck.log import (
    Corrected,
    Correction,
    measurement_of,
    measurements,
    people,
    save,
    settings_of,
)
from beadcheck.log.tables import coupon, measurement, pass_run, photo
from beadcheck.units import Unit

from .conftest import NOON, result


def count_of(log, table) -> int:
    with log.reading() as connection:
        return len(connection.execute(select(table)).all())


def test_a_result_comes_back_as_it_was_saved(log, entry):
    measured = result()
    saved = save(log, entry(measured, coupon_file="format = 1\n", limit_edition="2026"))
    back = measurement_of(log, saved.number)
    assert back.result == measured
    assert back.coupon_file == "format = 1\n"
    assert back.logged.person == "Tern"
    assert back.logged.limit_edition == "2026"
    assert (back.logged.within, back.logged.outside, back.logged.undecided) == (2, 1, 0)


def test_a_time_comes_back_in_utc_whatever_zone_it_was_said_in(log, entry):
    there = datetime(2026, 3, 29, 3, 30, tzinfo=timezone(timedelta(hours=2)))
    saved = save(log, entry(measured_at=there))
    back = measurement_of(log, saved.number).logged.measured_at
    assert back == there
    assert back.utcoffset() == timedelta(0)


def test_a_time_without_zone_is_refused(entry):
    with pytest.raises(ValueError, match="zone"):
        entry(measured_at=NOON.replace(tzinfo=None))


def test_a_pass_measured_again_gets_another_row_and_the_old_one_stays(log, entry):
    first = save(log, entry())
    again = result()
    second = save(log, entry(again, measured_at=NOON + timedelta(hours=1)))
    assert second.number > first.number
    assert measurement_of(log, first.number).result == again
    assert [each.number for each in measurements(log)] == [first.number, second.number]
    assert count_of(log, pass_run) == count_of(log, coupon) == 1


def test_a_coupon_described_otherwise_keeps_its_earlier_description(log, entry):
    save(log, entry(result(wall_thickness_mm=10.0)))
    save(log, entry(result(wall_thickness_mm=12.0)))
    save(log, entry(result(wall_thickness_mm=None)))
    save(log, entry(result(wall_thickness_mm=None)))
    with log.reading() as connection:
        walls = connection.scalars(select(coupon.c.wall_thickness_mm).order_by(coupon.c.id)).all()
    assert walls == [10.0, 12.0, None]


def test_capitals_and_spaces_make_no_other_person_or_coupon(log, entry):
    save(log, entry(person="Tern", coupon="P8-17"))
    saved = save(log, entry(person="  TERN ", coupon="p8-17"))
    assert saved.person == "Tern"
    assert not saved.new_person
    assert count_of(log, coupon) == 1


@pytest.mark.parametrize("name", ["", "   ", "two\x00words", "x" * 81])
def test_a_name_that_cannot_be_kept_is_refused_and_nothing_is_saved(log, entry, name):
    with pytest.raises(NameNotUsableError):
        save(log, entry(person="Tern", coupon=name))
    assert people(log) == ()
    assert count_of(log, measurement) == 0


def test_the_same_photo_is_kept_once(log, entry, picture):
    path = picture(77)
    save(log, entry(photos=(path,)))
    save(log, entry(photos=(path,), person="Gull"))
    assert count_of(log, photo) == 1
    assert len(list(log.address.photos.rglob("*.jpg"))) == 1


def test_a_copy_is_named_by_the_hash_of_its_bytes_and_nothing_else_lies_there(log, entry):
    save(log, entry())
    files = [path for path in log.address.photos.rglob("*") if path.is_file()]
    assert [path.stem for path in files] == [hashlib.sha256(files[0].read_bytes()).hexdigest()]


def test_a_copy_is_upright_and_knows_nothing_of_its_camera(log, entry, tmp_path):
    path = tmp_path / "on-its-side.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6  # orientation: to be turned a quarter clockwise
    exif[0x010F] = "Harrow Quay"  # make
    exif.get_ifd(0x8825)[2] = (53.0, 12.0, 30.0)  # latitude
    Image.new("RGB", (512, 336), (90, 60, 30)).save(path, exif=exif)
    saved = save(log, entry(photos=(path,)))
    (kept,) = measurement_of(log, saved.number).photos
    with Image.open(kept.copy) as copy:
        assert copy.size == (336, 512)
        assert dict(copy.getexif()) == {}
        assert not {"exif", "xmp", "photoshop", "comment"} & set(copy.info)
    assert b"Harrow Quay" not in kept.copy.read_bytes()


def test_a_file_that_is_no_picture_is_named_and_not_kept(log, entry, tmp_path):
    path = tmp_path / "broken.jpg"
    path.write_bytes(b"no picture")
    saved = save(log, entry(photos=(path,)))
    (kept,) = measurement_of(log, saved.number).photos
    assert kept.copy is None
    assert kept.file == "cap.jpg"


def test_who_measured_and_who_corrected_what_is_kept(log, entry):
    first = save(log, entry())
    corrections = (
        Correction(what=Corrected.TOES, by="Brisk", why="spatter", corrects=first.number),
    )
    second = save(log, entry(measured_by="Gull", corrections=corrections))
    back = measurement_of(log, second.number)
    assert back.logged.measured_by == "Gull"
    (kept,) = back.corrections
    assert (kept.what, kept.by, kept.why) == (Corrected.TOES, "Brisk", "spatter")
    assert kept.corrects == first.number
    assert measurement_of(log, first.number).corrections == ()


def test_a_correction_of_nothing_is_refused_and_nothing_is_saved(log, entry):
    corrections = (Correction(what=Corrected.OTHER, by="Brisk", corrects=99),)
    with pytest.raises(NoSuchMeasurementError, match="99"):
        save(log, entry(corrections=corrections))
    assert people(log) == ()


def test_the_numbers_that_were_set_are_rows(log, entry):
    saved = save(log, entry())
    rows = {each.name: (each.value, each.unit) for each in settings_of(log)}
    assert rows == {
        "peak_current": (120.0, Unit.AMPERE),
        "peak_time": (0.5, Unit.S),
        "background_time": (0.4, Unit.S),
    }
    assert {each.measurement for each in settings_of(log)} == {saved.number}


def test_what_a_killed_program_left_goes_once_it_is_old(log, entry):
    folder = log.address.photos
    folder.mkdir(parents=True)
    old, new = folder / "old.part", folder / "new.part"
    for path in (old, new):
        path.write_bytes(b"half a photo")
    os.utime(old, (0, 0))
    save(log, entry())
    assert not old.exists()
    assert new.exists()


def test_every_photo_of_a_result_needs_its_file(entry):
    measured = entry()
    with pytest.raises(ValueError, match="every photo"):
        replace(measured, photos=())
