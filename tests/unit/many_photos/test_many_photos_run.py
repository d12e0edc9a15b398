"""Each photo is asked for once, whatever befalls the others and the run."""

import csv
import json
import tracemalloc

import pytest

from beadcheck.errors.work import (
    ProcessNotStartedError,
    WorkDiedError,
    WorkFaultError,
    WorkTooLongError,
)
from beadcheck.many_photos import PhotoOutcome, journal_in, measured_each
from beadcheck.many_photos.one import Made

from .conftest import Desk, plainly_made, said


def raiser(error):
    def answer():
        raise error

    return answer


def test_photos_that_fail_do_not_keep_others_from_being_measured(run, photos, tmp_path):
    desk = Desk(
        hangs=raiser(WorkTooLongError(5.0)),
        dies=raiser(WorkDiedError("ended by SIGKILL")),
        stumbles=raiser(WorkFaultError("ZeroDivisionError", "in a line of ours")),
        bare=lambda: Made(
            files={"result.json": b"{}"}, said=said(PhotoOutcome.REFUSED, why="No weld.")
        ),
    )
    given = photos(a="hangs", b="dies", c="good", d="stumbles", e="bare", f="better")
    (tmp_path / "in" / "g.jpg").mkdir()
    told = run([*given, (given[0][0], tmp_path / "in" / "g.jpg")], desk)
    outcomes = {name: each.record.outcome.value for name, each in told.items()}
    assert outcomes == {
        "a.jpg": "failed",
        "b.jpg": "failed",
        "c.jpg": "measured",
        "d.jpg": "failed",
        "e.jpg": "not measured",
        "f.jpg": "measured",
        "g.jpg": "failed",
    }
    assert "longer than 5 s" in told["a.jpg"].record.why
    assert "SIGKILL" in told["b.jpg"].record.why
    assert told["e.jpg"].record.why == "No weld."
    assert "folder" in told["g.jpg"].record.why
    kept = tmp_path / "out" / told["c.jpg"].record.folder
    assert {path.name for path in kept.iterdir()} == {"result.json", "stations.csv"}
    (mistake,) = (tmp_path / "out" / told["d.jpg"].record.folder).iterdir()
    assert mistake.read_text("utf-8") == "in a line of ours"


def test_going_on_asks_only_for_what_is_not_done_and_for_what_failed(run, photos):
    given = photos(a="good", b="dies", c="better", d="bare")
    refused = Made(files={"result.json": b"{}"}, said=said(PhotoOutcome.REFUSED, why="No weld."))
    first = Desk(dies=raiser(WorkDiedError("exit code 1")), bare=lambda: refused)
    run(given[:3], first)
    assert first.names == ["a.jpg", "b.jpg", "c.jpg"]
    second = Desk(bare=lambda: refused)
    told = run(given, second)
    assert second.names == ["b.jpg", "d.jpg"]
    assert {name for name, each in told.items() if each.new} == {"b.jpg", "d.jpg"}
    third = Desk()
    assert len(run(given, third)) == 4
    assert third.names == []


def test_one_photo_under_two_names_is_measured_once(run, photos):
    desk = Desk(at_once=5)
    told = run(photos(a="same", b="same", c="other"), desk)
    assert desk.names == ["a.jpg", "c.jpg"]
    assert told["b.jpg"].record == told["a.jpg"].record
    assert not told["b.jpg"].new
    assert run(photos(renamed="same"), Desk())["renamed.jpg"].record == told["a.jpg"].record


def test_a_result_that_somebody_removed_is_made_again(run, photos, tmp_path):
    given = photos(a="good")
    folder = tmp_path / "out" / run(given, Desk())["a.jpg"].record.folder
    (folder / "result.json").unlink()
    desk = Desk()
    run(given, desk)
    assert desk.names == ["a.jpg"]
    assert (folder / "result.json").exists()


def test_where_no_process_starts_the_run_ends_and_what_is_done_stays(run, photos):
    given = photos(a="good", b="none", c="better")
    with pytest.raises(ProcessNotStartedError):
        run(given, Desk(at_once=1, none=raiser(ProcessNotStartedError("exit code 1"))))
    desk = Desk()
    run(given, desk)
    assert desk.names == ["b.jpg", "c.jpg"]


def test_never_more_photos_are_in_hand_than_keep_the_workers_busy(photos, tmp_path, ask):
    desk = Desk(at_once=3)
    given = photos(**{f"p{number}": f"photo {number}" for number in range(9)})
    with journal_in(tmp_path / "out", ask.fingerprint) as journal:
        for count, _ in enumerate(measured_each(given, ask, desk, journal), start=1):
            assert len(desk.names) - count < desk.at_once


def test_memory_does_not_grow_with_the_number_of_photos(photos, tmp_path, ask):
    """Peak over 40 photos of a megabyte, each with a megabyte of results, against that of 10."""
    desk = Desk(**{str(n): megabyte_made for n in range(50)})
    given = photos(**{f"p{n}": f"{n}".ljust(1_000_000) for n in range(50)})

    def peak(some) -> int:
        tracemalloc.start()
        try:
            with journal_in(tmp_path / "out", ask.fingerprint) as journal:
                assert all(told.new for told in measured_each(some, ask, desk, journal))
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    few = peak(given[:10])
    assert 1e6 < few < 10e6
    assert peak(given[10:]) < 1.3 * few


def megabyte_made() -> Made:
    return Made(files={"result.json": bytes(1_000_000)}, said=said())


def test_the_summary_holds_a_row_for_each_photo_with_its_numbers(run, photos, tmp_path):
    given = photos(**{"a": "good", "=b": "better"})
    run(given, Desk(better=raiser(WorkTooLongError(5.0))))
    run(given, Desk(better=plainly_made))
    with (tmp_path / "out" / "summary.csv").open(encoding="utf-8-sig", newline="") as file:
        first, second = csv.DictReader(file)
    assert first["file"] == "a.jpg"
    assert second["file"] == "'=b.jpg"
    assert "qualified inspector" in first["caution"]
    assert second["caution"] == ""
    assert [first[name] for name in ("weld_width_mean", "weld_width_mean_U")] == [
        "8.2500",
        "0.2500",
    ]
    assert [second[name] for name in ("outcome", "within", "outside", "undecided")] == [
        "measured",
        "2",
        "1",
        "0",
    ]
    lines = (tmp_path / "out" / "journal.jsonl").read_text("utf-8").splitlines()
    assert [json.loads(line).get("outcome") for line in lines] == [
        None,
        "measured",
        "failed",
        "measured",
    ]
