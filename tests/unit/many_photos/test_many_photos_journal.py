"""The journal survives whatever stops a run, and tells one question from another."""

import errno
import os
import subprocess
import sys
from dataclasses import replace

import pytest
from calibrated_phone import PHONE

from beadcheck.camera import CameraBook
from beadcheck.coupon import Coupon, Process
from beadcheck.errors import InputFileError
from beadcheck.errors.output import (
    FolderInUseError,
    FolderNotWritableError,
    ForeignFileError,
    NotAFolderError,
)
from beadcheck.many_photos import ask_of, journal_in
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request
from beadcheck.report.wording import LengthUnit

from .conftest import Desk

OWN_LIMITS = """format = "beadcheck-limits/1"
title = "Shop rule"
source = "Shop rule"
edition = "2026"

[[limit]]
quantity = "weld_width"
statistic = "mean"
sense = "at most"
value_mm = {most}
"""


@pytest.mark.parametrize("cut", range(1, 60, 7))
def test_a_line_that_was_cut_short_is_passed_over_and_the_next_is_whole(run, photos, tmp_path, cut):
    given = photos(a="good", b="better")
    run(given, Desk())
    journal = tmp_path / "out" / "journal.jsonl"
    whole = journal.read_bytes()
    journal.write_bytes(whole[:-cut])
    desk = Desk()
    run(given, desk)
    assert desk.names == (["b.jpg"] if cut > 1 else [])
    again = Desk()
    run(given, again)
    assert again.names == []


def test_a_journal_of_which_only_a_part_of_the_first_line_was_written_is_begun_anew(
    run, photos, tmp_path
):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "journal.jsonl").write_bytes(b'{"form')
    run(photos(a="good"), Desk())
    desk = Desk()
    run(photos(a="good"), desk)
    assert desk.names == []


def test_a_full_disk_ends_the_run_in_a_sentence_and_what_is_done_stays(
    run, photos, tmp_path, monkeypatch
):
    given = photos(a="good", b="better", c="best")
    run(given[:1], Desk())

    def no_room(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", no_room)
        with pytest.raises(FolderNotWritableError, match="no space"):
            run(given, Desk())
    assert not list((tmp_path / "out").glob(".*"))
    desk = Desk()
    run(given, desk)
    assert desk.names == ["b.jpg", "c.jpg"]


@pytest.mark.parametrize("name", ["journal.jsonl", "summary.csv"])
def test_a_file_that_is_not_ours_is_left_alone(run, photos, tmp_path, name):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / name).write_text("milk, eggs\n", "utf-8")
    with pytest.raises(ForeignFileError, match=name):
        run(photos(a="good"), Desk())
    assert (tmp_path / "out" / name).read_text("utf-8") == "milk, eggs\n"


def test_a_file_in_the_folders_place_is_refused(run, photos, tmp_path):
    (tmp_path / "out").write_text("mine", "utf-8")
    with pytest.raises(NotAFolderError):
        run(photos(a="good"), Desk())


def test_two_runs_never_write_to_one_folder(tmp_path, ask):
    with (
        journal_in(tmp_path, ask.fingerprint),
        pytest.raises(FolderInUseError),
        journal_in(tmp_path, ask.fingerprint),
    ):
        pass
    with journal_in(tmp_path, ask.fingerprint):
        pass


def test_what_an_interrupted_run_left_half_made_is_swept_away(tmp_path, ask):
    (tmp_path / ".beadcheck-left").mkdir()
    (tmp_path / ".beadcheck-left" / "result.json").write_text("{", "utf-8")
    (tmp_path / "notes").mkdir()
    with journal_in(tmp_path, ask.fingerprint):
        assert not (tmp_path / ".beadcheck-left").exists()
        assert (tmp_path / "notes").exists()


def asked(*, pictures=False, unit=LengthUnit.MM, **changes):
    return ask_of(Request(takes=(), **changes), pictures=pictures, unit=unit)


def test_another_question_has_another_fingerprint_and_the_same_the_same(tmp_path):
    shop = tmp_path / "shop.toml"
    prints = [asked().fingerprint]
    prints.append(asked(coupon=Coupon(process=Process.SMAW)).fingerprint)
    prints.append(asked(limits="iso-5817-c").fingerprint)
    for most in (9.0, 9.5):
        shop.write_text(OWN_LIMITS.format(most=most), "utf-8")
        prints.append(asked(limits=str(shop)).fingerprint)
    prints.append(asked(measured_bar_mm=99.8).fingerprint)
    prints.append(asked(pictures=True).fingerprint)
    prints.append(asked(unit=LengthUnit.INCH).fingerprint)
    prints.append(asked(cameras=CameraBook(cameras=(PHONE,))).fingerprint)
    refocused = replace(PHONE, camera=replace(PHONE.camera, focal_px=3001.0))
    prints.append(asked(cameras=CameraBook(cameras=(refocused,))).fingerprint)
    assert len(set(prints)) == len(prints)
    assert prints[0] == asked().fingerprint


def test_a_fingerprint_is_the_same_in_another_process(ask):
    code = (
        "from tests.unit.many_photos.test_many_photos_journal import asked\n"
        "print(asked().fingerprint)"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "7"}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, check=True, text=True
    )
    assert done.stdout.strip() == ask.fingerprint


def test_one_photo_asked_for_as_two_kinds_has_two_keys(ask):
    keys = {ask.key(kind, b"photo") for kind in PhotoKind}
    assert len(keys) == len(PhotoKind)
    assert ask.key(PhotoKind.FACE, b"other") not in keys


def test_a_broken_limit_file_is_refused_before_any_photo(tmp_path):
    (tmp_path / "shop.toml").write_text("format = 3", "utf-8")
    with pytest.raises(InputFileError):
        asked(limits=str(tmp_path / "shop.toml"))
