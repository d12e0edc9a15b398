"""People in the log: found by nickname or number, added, listed."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, func, or_, select

from beadcheck.errors.log import UnknownPersonError
from beadcheck.log.adding import new_row
from beadcheck.log.entry import NewPerson, Person
from beadcheck.log.names import key_of, name_of
from beadcheck.log.open import Log
from beadcheck.log.tables import coupon, measurement, pass_run, person

ALIKE: Final = 0.75
"""Likeness from which one name is taken for another misspelt (difflib's ratio)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedPeople:
    """Who was added, and who was in the log already."""

    added: tuple[NewPerson, ...]
    already: tuple[NewPerson, ...]


def people(log: Log) -> tuple[Person, ...]:
    """Everybody in the log, by class and name.

    Raises
    ------
    LogError
    """
    columns = (person.c.name, person.c.number, person.c.class_name, person.c.added_at)
    wanted = (
        select(
            *columns,
            func.count(measurement.c.id).label("measurements"),
            func.max(measurement.c.measured_at).label("last_measured_at"),
        )
        .select_from(
            person.outerjoin(coupon)
            .outerjoin(pass_run)
            .outerjoin(measurement, measurement.c.pass_run_id == pass_run.c.id)
        )
        .group_by(person.c.id, *columns)
    )
    with log.reading() as connection:
        found = [Person(**row) for row in connection.execute(wanted).mappings()]
    return tuple(sorted(found, key=lambda each: (key_of(each.class_name or ""), key_of(each.name))))


def add_people(log: Log, newcomers: Iterable[NewPerson], *, at: datetime) -> AddedPeople:
    """Add everybody who is not there yet, all or nobody.

    Raises
    ------
    NameNotUsableError, LogError
    """
    added, already = [], []
    with log.writing() as connection:
        for each in newcomers:
            names = [each.name] if each.number is None else [each.name, each.number]
            if any(find_person(connection, name) is not None for name in names):
                already.append(each)
            else:
                insert_person(connection, each, at=at)
                added.append(each)
    return AddedPeople(added=tuple(added), already=tuple(already))


def find_person(connection: Connection, name: str) -> int | None:
    """Row of the person with this nickname or number."""
    key = key_of(name)
    same = or_(person.c.name_key == key, person.c.number_key == key)
    found: int | None = connection.scalar(select(person.c.id).where(same).order_by(person.c.id))
    return found


def known_person(connection: Connection, name: str) -> int:
    """Row of a person who must be there.

    Raises
    ------
    UnknownPersonError
        Nobody is called so; somebody whose name is much alike is named.
    """
    found = find_person(connection, name)
    if found is None:
        names = [str(each) for each in connection.scalars(select(person.c.name))]
        known = {key_of(each): each for each in names}
        nearest = difflib.get_close_matches(key_of(name), known, n=1, cutoff=ALIKE)
        raise UnknownPersonError(name, *(known[each] for each in nearest))
    return found


def somebody(connection: Connection, name: str, *, at: datetime) -> tuple[int, bool]:
    """Row of a person who is added where nobody is called so, and whether that was just now.

    Raises
    ------
    NameNotUsableError
    """
    found = find_person(connection, name_of(name, "person"))
    if found is not None:
        return found, False
    return insert_person(connection, NewPerson(name=name), at=at), True


def insert_person(connection: Connection, newcomer: NewPerson, *, at: datetime) -> int:
    """Add a row for a person who is not there yet.

    Raises
    ------
    NameNotUsableError
    """
    name = name_of(newcomer.name, "person")
    number = None if newcomer.number is None else name_of(newcomer.number, "person")
    row = {
        "name": name,
        "name_key": key_of(name),
        "number": number,
        "number_key": None if number is None else key_of(number),
        "class_name": newcomer.class_name,
        "added_at": at,
    }
    return new_row(connection, person, row)
