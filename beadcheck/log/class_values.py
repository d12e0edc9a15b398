"""One value of everybody's measurements, a few numbers each: a class has many."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import select

from beadcheck.log.entry import Selection
from beadcheck.log.find import EVERYTHING, require_person
from beadcheck.log.open import Log
from beadcheck.log.summary import Wanted, values_of
from beadcheck.log.tables import measurement, person, quantity

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClassValues:
    """N measurements, oldest first; those of one day in the order in which they were saved.

    Attributes
    ----------
    names
        Of everybody in the log, by the numbers in `people`.
    measurements, people, days
        (N,) number of each measurement, whose it is, and its UTC day as
        ``datetime.date.toordinal`` counts.
    values
        (N,) in the unit that was wanted.
    """

    names: Mapping[int, str]
    measurements: Numbers
    people: Numbers
    days: Numbers
    values: NDArray[np.float64]

    def __post_init__(self) -> None:
        for array in (self.measurements, self.people, self.days, self.values):
            if array.shape != self.values.shape or array.ndim != 1:
                msg = f"one number for each of {len(self.values)} measurements, not {array.shape}"
                raise ValueError(msg)
            array.flags.writeable = False


def class_values(log: Log, wanted: Wanted, selection: Selection = EVERYTHING) -> ClassValues:
    """Value of every selected measurement, without what only a few of them are asked for.

    Raises
    ------
    UnknownPersonError, LogError
    """
    columns = (measurement.c.id, person.c.id, measurement.c.day, quantity.c.value)
    query = values_of(select(*columns), wanted, selection)
    with log.reading() as connection:
        require_person(connection, selection)
        names = {row.id: row.name for row in connection.execute(select(person.c.id, person.c.name))}
        rows = connection.execute(query).all()
    columns_read = zip(*rows, strict=True) if rows else [()] * len(columns)
    *whole, values = map(np.array, columns_read)
    numbers, people, days = (each.astype(np.int64) for each in whole)
    oldest_first = np.lexsort((numbers, days))
    return ClassValues(
        names=names,
        measurements=numbers[oldest_first],
        people=people[oldest_first],
        days=days[oldest_first],
        values=values[oldest_first].astype(np.float64),
    )
