"""The findings as a table name limit, guard band, probability and source, cell by cell."""

import csv
import io
from dataclasses import replace

from beadcheck.limits import Finding
from beadcheck.report.findings_csv import HEADER, findings_csv


def rows_of(result):
    return list(csv.DictReader(io.StringIO(findings_csv(result))))


def test_each_finding_has_a_line_with_its_rule_and_its_source(make_result):
    result = make_result()
    first, *rest = result.checks
    judged = replace(
        first,
        rule="w = 0.83 U",
        conformity_probability=0.9731,
        printed_in="inch",
        verified="from memory",
    )
    rows = rows_of(replace(result, checks=(judged, *rest)))
    assert [row["finding"] for row in rows] == [check.finding.value for check in result.checks]
    assert rows[0]["guard_band"] == "w = 0.83 U"
    assert rows[0]["conformity_probability"] == "0.9731"
    assert rows[0]["printed_in"] == "inch"
    assert rows[0]["source"] == first.source
    assert rows[0]["verified"] == "from memory"
    assert rows[0]["files"] == result.photos[0].file


def test_the_caution_stands_once_and_what_is_missing_is_empty(make_result):
    result = make_result()
    rows = rows_of(result)
    assert [bool(row["caution"]) for row in rows] == [True] + [False] * (len(rows) - 1)
    (missing,) = [row for row in rows if row["finding"] == Finding.NOT_MEASURED.value]
    assert missing["value"] == missing["U"] == ""


def test_a_finding_of_several_photos_names_them_all(make_result):
    result = make_result()
    both = replace(result.checks[0], photo=None, photos=(0, 1))
    second = replace(result.photos[0], file="=2+3.jpg")
    rows = rows_of(replace(result, photos=(*result.photos, second), checks=(both,)))
    assert rows[0]["photos"] == "0 1"
    assert rows[0]["files"] == f"{result.photos[0].file}; =2+3.jpg"


def test_without_findings_only_the_header_is_left(make_result):
    text = findings_csv(replace(make_result(), checks=()))
    assert text.split("\r\n") == [",".join(HEADER), ""]
