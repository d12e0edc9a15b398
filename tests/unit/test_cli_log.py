"""The subcommands of the log: their examples run, and each refusal is one sentence."""

import json
import re
import shlex
import sys
from datetime import UTC, datetime

import numpy as np
import pytest
from PIL import Image

from beadcheck.cli import main
from beadcheck.log import Entry, log_address, open_log, save
from beadcheck.result import CouponRecord, PhotoRecord, Result

COMMANDS = ("list", "show", "export", "people", "backup", "restore", "forget")
DETAILS = re.compile(r"Traceback|sqlalchemy|sqlite3\.|psycopg|mistake of its own")
COUPON = """\
format = "beadcheck-coupon/1"
coupon = "row of spots"
person = "Tern"

[[pass]]
pass = "cap"

[[pass.photo]]
file = "cap.jpg"
"""


@pytest.fixture
def run(tmp_path, monkeypatch, capsys, pytestconfig):
    """Run the command in an empty folder; return its exit code, and what it said."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BEADCHECK_LOG", "log.sqlite3")
    monkeypatch.setenv("BEADCHECK_CAMERAS", "cameras")
    (tmp_path / "samples").symlink_to(pytestconfig.rootpath / "samples")

    def ran(*arguments):
        monkeypatch.setattr(sys, "argv", ["beadcheck", *arguments])
        with pytest.raises(SystemExit) as left:
            main()
        said = capsys.readouterr()
        return left.value.code, said.out, said.err

    return ran


@pytest.fixture
def filled(run, tmp_path):
    """One measurement of Tern's is in the log; a photo and a coupon file lie in the folder."""
    photo = tmp_path / "cap.jpg"
    Image.fromarray(np.full((336, 512, 3), 90, dtype=np.uint8)).save(photo)
    (tmp_path / "coupon.toml").write_text(COUPON, "utf-8")
    (tmp_path / "nobody.toml").write_text(COUPON.replace('person = "Tern"\n', ""), "utf-8")
    (tmp_path / "broken.toml").write_text(COUPON.replace("cap.jpg", "cup.jpg"), "utf-8")
    (tmp_path / "card.toml").write_text('format = "beadcheck-procedure/1"\n', "utf-8")
    coupon = CouponRecord(
        shape="plate", outside_diameter_mm=None, wall_thickness_mm=None, weld_pass=None
    )
    seen = PhotoRecord(
        file="cap.jpg",
        kind="face",
        usable=True,
        px_per_mm=21.0,
        tilt_deg=4.0,
        distance_mm=200.0,
        problems=(),
    )
    with open_log(log_address({}, str(tmp_path / "log.sqlite3"))) as log:
        entry = Entry(
            result=Result(coupon=coupon, photos=(seen,)),
            photos=(photo,),
            person="Tern",
            coupon="row of spots",
            run="cap",
            measured_at=datetime(2026, 5, 18, 9, 0, tzinfo=UTC),
        )
        save(log, entry)
    return run


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)])
def test_every_example_of_the_help_runs(filled, command):
    filled("log", "people", "samples/class-list.csv")
    if command == ("restore",):
        filled("log", "backup", "november.zip")
    _, said, _ = filled("log", *command, "--help")
    _, found, after = said.partition("Example")
    assert found
    # The shell, not the command, writes what stands after a ">".
    lines = [line.strip().split(" > ")[0] for line in after.splitlines()[1:] if line.strip()]
    for program, *arguments in map(shlex.split, lines):
        assert program == "beadcheck"
        code, out, err = filled(*arguments)
        assert code == 0, err
        assert out or err


def test_the_log_alone_shows_its_help(run):
    code, out, _ = run("log")
    assert code == 0
    assert all(f"\n  {command} " in out for command in COMMANDS)


@pytest.mark.parametrize(
    ("arguments", "words", "code"),
    [
        (["log", "show", "99"], "no measurement 99", 2),
        (["log", "show", "0"], "NUMBER", 2),
        (["log", "list", "--person", "Turn"], "'Tern' is", 2),
        (["log", "list", "--since", "yesterday"], "--since", 2),
        (["log", "show", "1", "--coupon-file"], "without one", 2),
        (["log", "people", "missing.csv"], "missing.csv", 2),
        (["log", "people", "--try"], "--try means nothing", 2),
        (["log", "restore", "card.toml"], "not a back-up", 2),
        (["log", "backup", "card.toml"], "is there already", 2),
        (["log", "backup", "nowhere/b.zip"], "cannot be written", 1),
        (["log", "export", "--out", "nowhere/x.csv"], "cannot be written", 2),
        (["log", "forget", "Moth", "--yes"], "Nobody in the log", 2),
        (["log", "list", "--log", "card.toml"], "damaged", 1),
        (["log", "list", "--log", "mysql://x/y"], "no address of a log", 2),
        (["log", "weigh"], "weigh", 2),
        (["measure", "cap.jpg", "--person", "Tern"], "--person means nothing without --save", 2),
        (["measure", "cap.jpg", "--save"], "--save means nothing without --person", 2),
        (["measure", "cap.jpg", "--save", "--person", " "], "name of a person", 2),
        (["measure", "cap.jpg", "--save", "--person", "x", "--corrects", "9"], "measurement 9", 2),
        (["measure", "coupon.toml", "cap.jpg"], "is a coupon file", 2),
        (["measure", "coupon.toml", "--pass", "cap"], "--pass cannot be given beside it", 2),
        (["measure", "coupon.toml", "--plate"], "--plate cannot be given beside it", 2),
        (["measure", "coupon.toml", "--side-on", "cap.jpg"], "--side-on cannot be given", 2),
        (["measure", "missing.toml"], "no file or folder 'missing.toml'", 2),
        (["measure", "coupon.toml", "--save", "--person", "Gull"], "coupon file says Tern", 2),
        (["measure", "nobody.toml", "--save"], "a line person in the coupon file", 2),
        (["measure", "broken.toml"], "broken.toml, line 9, photo 1: file names 'cup.jpg'", 2),
        (["measure", "card.toml"], "is a procedure card", 2),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence(filled, tmp_path, arguments, words, code):
    before = sorted(path.name for path in tmp_path.iterdir())
    left, out, err = filled(*arguments)
    assert words in err
    assert left == code, err
    assert out == ""
    assert len(err.splitlines()) == 1
    assert not DETAILS.search(err)
    assert sorted(path.name for path in tmp_path.iterdir()) == before
    _, listed, _ = filled("log", "list", "--json")
    assert json.loads(listed)[0]["number"] == 1


def test_nobody_is_deleted_unless_it_is_confirmed(filled, monkeypatch):
    monkeypatch.setattr("beadcheck.cli.log.typer.confirm", lambda *_, **__: None)
    assert filled("log", "forget", "Tern")[0] == 0
    assert json.loads(filled("log", "list", "--json")[1]) == []


def test_nothing_is_saved_where_nothing_was_measured(filled):
    code, _, err = filled("measure", "cap.jpg", "--save", "--person", "Moth")
    assert code == 1
    assert "nothing was saved" in err
    assert len(json.loads(filled("log", "list", "--json")[1])) == 1


def test_a_class_list_is_tried_before_it_is_added(filled):
    code, out, _ = filled("log", "people", "samples/class-list.csv", "--try")
    assert code == 0
    assert "0017" in out
    assert len(json.loads(filled("log", "people", "--json")[1])) == 1
    assert "5 people" not in filled("log", "people", "samples/class-list.csv")[1]
    assert len(json.loads(filled("log", "people", "--json")[1])) == 5
