"""From a selection to the rows of a query."""

from typing import Any, Final

from sqlalchemy import FromClause, Select, func, select

from beadcheck.log.entry import Logged, Selection
from beadcheck.log.names import key_of
from beadcheck.log.tables import correction, coupon, measurement, pass_run, person

MEASURER: Final = person.alias("measurer")

LOGGED: Final = (
    measurement.c.id.label("number"),
    measurement.c.measured_at,
    person.c.name.label("person"),
    person.c.class_name,
    coupon.c.name.label("coupon"),
    pass_run.c.name.label("run"),
    pass_run.c.weld_pass,
    pass_run.c.process,
    coupon.c.position,
    MEASURER.c.name.label("measured_by"),
    measurement.c.limit_set,
    measurement.c.limit_edition,
    measurement.c.made_with,
    measurement.c.within,
    measurement.c.outside,
    measurement.c.undecided,
    measurement.c.not_measured,
)
"""Columns of a `Logged`."""

REPLACED: Final = select(correction.c.corrects_id).where(correction.c.corrects_id.is_not(None))
"""Numbers of the measurements that corrections take the place of."""


def whose(rows: FromClause = measurement) -> FromClause:
    """Measurements with pass, coupon and person."""
    return (
        rows.join(pass_run, measurement.c.pass_run_id == pass_run.c.id)
        .join(coupon, pass_run.c.coupon_id == coupon.c.id)
        .join(person, coupon.c.person_id == person.c.id)
    )


def narrowed(query: Select[Any], selection: Selection) -> Select[Any]:
    """Query for the selected measurements alone."""
    named = {
        coupon.c.name_key: selection.coupon,
        pass_run.c.name_key: selection.run,
    }
    same = {
        person.c.class_name: selection.class_name,
        pass_run.c.weld_pass: selection.weld_pass,
        pass_run.c.process: selection.process,
        coupon.c.position: selection.position,
    }
    for column, name in named.items():
        if name is not None:
            query = query.where(column == key_of(name))
    for column, word in same.items():
        if word is not None:
            query = query.where(column == word)
    if selection.person is not None:
        key = key_of(selection.person)
        query = query.where((person.c.name_key == key) | (person.c.number_key == key))
    if selection.since is not None:
        query = query.where(measurement.c.day >= selection.since.toordinal())
    if selection.until is not None:
        query = query.where(measurement.c.day <= selection.until.toordinal())
    if selection.latest_only:
        # What was kept under a wrong name is replaced in another pass, of another person: it goes
        # first, so that of its own pass an earlier measurement is the last one again.
        latest = (
            select(func.max(measurement.c.id))
            .where(measurement.c.id.not_in(REPLACED))
            .group_by(measurement.c.pass_run_id)
        )
        query = query.where(measurement.c.id.in_(latest))
    return query


def logged_rows(selection: Selection) -> Select[Any]:
    """Query for a `Logged` of each selected measurement."""
    source = whose().outerjoin(MEASURER, measurement.c.measured_by_id == MEASURER.c.id)
    return narrowed(select(*LOGGED).select_from(source), selection).order_by(measurement.c.id)


def logged_of(row: Any) -> Logged:  # a mapping of the columns that `LOGGED` names
    """Measurement of a row."""
    return Logged(**{column.name: row[column.name] for column in LOGGED})
