"""A class list as a spreadsheet saves it: who is in it, whatever its separator and its headings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.errors.log import (
    ClassListNotReadableError,
    NameNotUsableError,
    NobodyInClassListError,
)
from beadcheck.log.entry import NewPerson
from beadcheck.log.names import key_of, name_of
from beadcheck.spreadsheet import read_table

HEADINGS: Final[Mapping[str, tuple[str, ...]]] = {
    "name": ("name", "nickname", "nick", "learner", "trainee", "student", "person", "full name"),
    "first": ("first name", "given name", "forename", "first"),
    "last": ("last name", "surname", "family name", "last"),
    "number": (
        "number",
        "no",
        "nr",
        "id",
        "code",
        "student number",
        "student no",
        "student id",
        "learner number",
        "learner id",
    ),
    "class": ("class", "group", "course", "term", "section", "cohort"),
}
"""Words by which a column is known, without full stops, whatever their case."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A line that was not taken, and why."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassList:
    """Who is in a list, in its order, and which lines were left out."""

    people: tuple[NewPerson, ...]
    left_out: tuple[LeftOut, ...]


def read_class_list(path: Path, *, class_name: str | None = None) -> ClassList:
    """Read a class list.

    Comma, semicolon or tab; UTF-8 with or without its mark, or UTF-16 with it. The first line may
    name the columns; without, a single column holds names, the first of two numbers where its
    cells are. Numbers stay text, so that zeros at their beginning stay.

    Parameters
    ----------
    class_name
        Class of everybody whose line names none.

    Raises
    ------
    ClassListNotReadableError, NobodyInClassListError
    """
    table = read_table(path, ClassListNotReadableError)
    rows = [(row.line, [" ".join(cell.split()) for cell in row.cells]) for row in table.rows]
    if not rows:
        raise NobodyInClassListError(path.name)
    columns = _headings(rows[0][1])
    if columns is None:
        columns = _without_headings(rows)
    else:
        rows = rows[1:]
    found = _taken(rows, columns, class_name)
    if not found.people and not found.left_out:
        raise NobodyInClassListError(path.name)
    return found


def _headings(cells: Sequence[str]) -> dict[str, int] | None:
    """Column of each heading; None where the first line names nothing."""
    columns: dict[str, int] = {}
    for index, cell in enumerate(cells):
        plain = " ".join(cell.replace(".", " ").replace("_", " ").casefold().split())
        for heading, words in HEADINGS.items():
            if plain in words:
                columns.setdefault(heading, index)
    return columns if {"name", "first", "last", "number"} & columns.keys() else None


def _without_headings(rows: Sequence[tuple[int, Sequence[str]]]) -> dict[str, int]:
    first = [cells[0] for _, cells in rows]
    if all(len(cells) > 1 for _, cells in rows):
        if all(cell.isdecimal() for cell in first):
            return {"number": 0, "name": 1}
        if all(cells[1].isdecimal() for _, cells in rows):
            return {"name": 0, "number": 1}
    return {"name": 0}


def _taken(
    rows: Sequence[tuple[int, Sequence[str]]],
    columns: Mapping[str, int],
    class_name: str | None,
) -> ClassList:
    taken: list[NewPerson] = []
    left_out: list[LeftOut] = []
    lines: dict[str, int] = {}
    for line, cells in rows:
        person = _person(cells, columns, class_name)
        why = _refusal(person, lines)
        if why or person is None:
            left_out.append(LeftOut(line=line, text=", ".join(filter(None, cells)), why=why))
            continue
        for name in filter(None, (person.name, person.number)):
            lines[key_of(name)] = line
        taken.append(person)
    return ClassList(people=tuple(taken), left_out=tuple(left_out))


def _person(
    cells: Sequence[str], columns: Mapping[str, int], class_name: str | None
) -> NewPerson | None:
    said = {
        heading: cells[index]
        for heading, index in columns.items()
        if index < len(cells) and cells[index]
    }
    both = " ".join(said[part] for part in ("first", "last") if part in said)
    name = said.get("name") or both or said.get("number")
    if name is None:
        return None
    return NewPerson(name=name, number=said.get("number"), class_name=said.get("class", class_name))


def _refusal(person: NewPerson | None, lines: Mapping[str, int]) -> str:
    """Why a line is not taken; empty where it is."""
    if person is None:
        return "it names nobody"
    for name in filter(None, (person.name, person.number)):
        try:
            name_of(name, "person")
        except NameNotUsableError as error:
            return error.reason
        if key_of(name) in lines:
            return f"{name!r} stands on line {lines[key_of(name)]} already"
    return ""
