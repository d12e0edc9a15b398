"""What the subcommands of the log print."""

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime

from rich import box
from rich.table import Table

from beadcheck.cli.streams import shown
from beadcheck.log import AddedPeople, Logged, Measurement, NewPerson, Person
from beadcheck.report.table import result_table
from beadcheck.report.wording import LengthUnit


def measurements_table(found: Sequence[Logged]) -> str:
    """List of measurements; times as this machine's clock shows them."""
    if not found:
        return "Nothing was saved yet, or nothing that fits."
    table = _table("number", "when", "who", "coupon", "pass", "findings", "limits")
    for each in found:
        table.add_row(
            str(each.number),
            _when(each.measured_at),
            each.person,
            each.coupon,
            each.run,
            _findings(each),
            each.limit_set or "",
        )
    return shown(table)


def measurements_json(found: Sequence[Logged]) -> str:
    """Measurements as JSON, times in UTC."""
    return _json([asdict(each) for each in found])


def measurement_words(found: Measurement, *, inch: bool) -> str:
    """One measurement: who, what and when, then the result, its photos and its corrections."""
    logged = found.logged
    by = (
        "" if logged.measured_by in (None, logged.person) else f", measured by {logged.measured_by}"
    )
    lines = [
        f"Number {logged.number}: {logged.person}, {logged.coupon}, {logged.run}; "
        f"{_when(logged.measured_at)}{by}; {logged.made_with}",
        shown(result_table(found.result, unit=LengthUnit.INCH if inch else LengthUnit.MM)),
    ]
    lines += [
        f"Photo: {photo.file} ({photo.kind}), {photo.copy or 'no picture, so no copy'}"
        for photo in found.photos
    ]
    for each in found.corrections:
        earlier = f", in place of number {each.corrects}" if each.corrects else ""
        why = f": {each.why}" if each.why else ""
        who = each.by or "somebody whose data was deleted"
        lines.append(f"Corrected by {who}: {each.what}{earlier}{why}")
    return "\n".join(lines)


def people_table(found: Sequence[Person]) -> str:
    """List of people."""
    if not found:
        return "Nobody is in the log yet. Add a class list with: beadcheck log people FILE.csv"
    table = _table("who", "number", "class", "measurements", "last")
    for each in found:
        last = "" if each.last_measured_at is None else _when(each.last_measured_at)
        table.add_row(
            each.name, each.number or "", each.class_name or "", str(each.measurements), last
        )
    return shown(table)


def people_json(found: Sequence[Person]) -> str:
    """People as JSON, times in UTC."""
    return _json([asdict(each) for each in found])


def newcomers_table(found: Sequence[NewPerson]) -> str:
    """List of people who are not added yet."""
    table = _table("who", "number", "class")
    for each in found:
        table.add_row(each.name, each.number or "", each.class_name or "")
    return shown(table)


def added_words(done: AddedPeople) -> str:
    """Who was added, and who was there."""
    lines = [f"{len(done.added)} people were added to the log."]
    if done.already:
        names = ", ".join(each.name for each in done.already)
        lines.append(f"Already there, and left as they are: {names}.")
    return "\n".join(lines)


def _table(*headings: str) -> Table:
    table = Table(box=box.SIMPLE_HEAD)
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table


def _findings(each: Logged) -> str:
    counts = {
        "outside": each.outside,
        "undecided": each.undecided,
        "within": each.within,
        "not measured": each.not_measured,
    }
    return ", ".join(f"{count} {word}" for word, count in counts.items() if count)


def _when(moment: datetime) -> str:
    return f"{moment.astimezone():%Y-%m-%d %H:%M}"


def _json(rows: list[dict[str, object]]) -> str:
    return json.dumps(rows, ensure_ascii=False, indent=2, default=_in_words)


def _in_words(value: object) -> str:
    if not isinstance(value, datetime):
        msg = f"a {type(value).__name__} has no form in JSON"
        raise TypeError(msg)
    return value.isoformat()
