"""What other programs are handed: readable, complete, and nothing that a spreadsheet would run."""

import csv
import io
import json

import pytest

from beadcheck.log import Selection, csv_lines, json_lines, save
from beadcheck.result import result_from_json

from .conftest import quantity, result

FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0")
"""Starts that a spreadsheet runs: OWASP, "CSV Injection" (from memory); tab and carriage return
cannot be in a name."""


def table(log, selection=None) -> list[dict[str, str]]:
    lines = csv_lines(log) if selection is None else csv_lines(log, selection)
    text = "".join(lines)
    *rows, last = csv.DictReader(io.StringIO(text, newline=""))
    assert "qualified inspector" in last["number"]
    return rows


def test_every_value_is_a_row_unrounded(log, entry):
    save(log, entry(result(quantity(value=9.123456789012345), quantity(statistic="min"))))
    rows = table(log)
    assert [row["statistic"] for row in rows] == ["mean", "min"]
    assert float(rows[0]["value"]) == 9.123456789012345
    assert rows[0]["measured_at"] == "2026-05-18T12:00:00+00:00"
    assert rows[0]["side"] == ""
    assert {row["for_pass"] for row in rows} == {"yes"}


@pytest.mark.parametrize("name", FORMULAS)
def test_no_cell_of_text_is_run_as_a_formula(log, entry, name):
    save(log, entry(person=name, coupon=name, run=name, limit_set=name))
    for row in table(log):
        assert row["person"] == row["coupon"] == row["run"] == row["limit_set"] == f"'{name}"


def test_a_negative_number_stays_a_number(log, entry):
    save(log, entry(result(quantity(name="pulse_overlap", value=-0.25, unit="ratio"))))
    assert table(log)[0]["value"] == "-0.25"


def test_each_line_of_json_holds_a_whole_result(log, entry):
    measured = result()
    save(log, entry(measured))
    save(log, entry(person="Gull"))
    lines = [json.loads(line) for line in json_lines(log, Selection(person="tern"))]
    assert [line["person"] for line in lines] == ["Tern"]
    assert result_from_json(json.dumps(lines[0]["result"])) == measured
