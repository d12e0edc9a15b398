"""The log from the command line: saved, listed, shown, handed on, backed up and deleted."""

import csv
import functools
import io
import json
import re

import pytest

from .conftest import run_command


@pytest.fixture(scope="module")
def saved(samples, tmp_path_factory):
    """A folder whose log holds one measurement of Tern's and a class list, and how to run in it."""
    folder = tmp_path_factory.mktemp("log")
    (folder / "samples").symlink_to(samples)
    run = functools.partial(run_command, cwd=folder)
    photo = "samples/plate-gtaw-pulsed.jpg"
    arguments = ["measure", photo, "--save", "--person", "Tern", "--coupon", "row of spots"]
    done = run(*arguments, "--process", "gtaw-pulsed", "--pass", "cap", "--json")
    assert done.returncode == 0, done.stderr
    assert done.stderr.splitlines()[-1] == (
        "Saved as number 1: Tern, row of spots, cap. Tern is new in the log."
    )
    (folder / "result.json").write_text(done.stdout, "utf-8")
    return run, folder


def test_what_was_saved_is_what_was_measured(saved):
    run, folder = saved
    shown = run("log", "show", "1", "--json")
    assert json.loads(shown.stdout) == json.loads((folder / "result.json").read_text("utf-8"))


def test_a_list_says_who_what_and_how_it_went(saved):
    run, _ = saved
    listed = run("log", "list")
    assert re.search(r"1 .*Tern +row of spots +cap +.*pipe-coupon", listed.stdout)
    row = json.loads(run("log", "list", "--person", "tern", "--json").stdout)[0]
    assert (row["number"], row["coupon"], row["limit_set"]) == (1, "row of spots", "pipe-coupon")


def test_a_table_for_spreadsheets_holds_every_value(saved):
    run, folder = saved
    rows = list(csv.DictReader(io.StringIO(run("log", "export").stdout)))
    result = json.loads((folder / "result.json").read_text("utf-8"))
    told = {
        (row["quantity"], row["statistic"], row["value"])
        for row in rows[:-1]
        if row["number"] == "1"
    }
    assert told == {
        (each["name"], each["statistic"], repr(each["value"])) for each in result["quantities"]
    }


def test_a_measurement_in_place_of_another_stands_beside_it(saved):
    run, _ = saved
    arguments = ["--person", "Tern", "--coupon", "row of spots", "--measured-by", "Gull"]
    photo = "samples/plate-gtaw-pulsed.jpg"
    done = run("measure", photo, "--save", *arguments, "--corrects", "1")
    assert done.returncode == 0, done.stderr
    assert "Saved as number 2" in done.stderr
    shown = run("log", "show", "2").stdout
    assert "measured by Gull" in shown
    assert "Corrected by Gull: other, in place of number 1" in shown
    assert "Number 1:" in run("log", "show", "1").stdout
