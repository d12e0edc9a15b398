"""What the log holds, as the page asks for it: a page of it, one measurement, and a name put right.

What it is worked out with loads a database layer, and is loaded once somebody asks.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Final

from beadcheck.report.wording import LengthUnit
from beadcheck_page.logbook import Naming, log_so_far
from beadcheck_page.printing import PrintedPages, entered_paper
from beadcheck_page.refusals import NothingLoggedError, UnusableEntryError

if TYPE_CHECKING:
    from beadcheck.log import Log, LoggedPage, Measurement, Saved, Selection
    from beadcheck.trends import LastRun

LINES: Final = 12
"""Measurements on a page of the list: two screens of a phone."""
LARGEST: Final = 2**31 - 1
"""Of what counts rows in either database."""
LONGEST_ASKED: Final = 200
_NUMBER: Final = "number"
_SKIPPED: Final = "skipped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is looked at: how many newer ones are passed over, and which one is open, if any is."""

    skipped: int = 0
    number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """One measurement, and what changed since the welder's run before; None where there is none."""

    found: "Measurement"
    last_run: "LastRun | None"

    def since(self, unit: LengthUnit) -> list[str]:
        """Sentences on that change."""
        from beadcheck.trends import last_run_lines  # noqa: PLC0415  # see above

        return last_run_lines(self.last_run, unit)


def asked(sent: object) -> Asked:
    """Read what the list's script sent; whatever makes no sense shows the newest.

    Examples
    --------
    >>> asked('{"skipped": 12, "number": 40}')
    Asked(skipped=12, number=40)
    >>> asked("")
    Asked(skipped=0, number=None)
    """
    if not isinstance(sent, str) or not 0 < len(sent) <= LONGEST_ASKED:
        return Asked()
    try:
        told = json.loads(sent)
    except (ValueError, RecursionError):
        return Asked()
    if not isinstance(told, dict):
        return Asked()
    return Asked(skipped=_count(told.get(_SKIPPED)) or 0, number=_count(told.get(_NUMBER)))


def asked_value(wanted: Asked) -> str:
    """Return what the list's script would have sent.

    Examples
    --------
    >>> asked(asked_value(Asked(skipped=12, number=40)))
    Asked(skipped=12, number=40)
    """
    told = {_SKIPPED: wanted.skipped, _NUMBER: wanted.number}
    return json.dumps({key: value for key, value in told.items() if value is not None})


def _count(told: object) -> int | None:
    if isinstance(told, bool) or not isinstance(told, int):
        return None
    return told if 0 <= told <= LARGEST else None


@contextmanager
def _opened_log() -> "Iterator[Log]":
    """Open the log that is there.

    Raises
    ------
    LogError, NothingLoggedError
    """
    from beadcheck.log import open_log  # noqa: PLC0415  # see above

    address = log_so_far()
    if address is None:
        raise NothingLoggedError
    with open_log(address) as log:
        yield log


def kept_page(person: str | None, skipped: int) -> "LoggedPage | None":
    """Some of what was kept, of one person or of everybody; None where there is no log yet.

    Raises
    ------
    LogError
    """
    from beadcheck.log import newest  # noqa: PLC0415  # see above

    if log_so_far() is None:
        return None
    with _opened_log() as log:
        return newest(log, _selection(person), most=LINES, skipped=skipped)


def kept_measurement(number: int, *, of: str | None = None) -> Opened:
    """Return one measurement with everything that was kept.

    Parameters
    ----------
    of
        Whose it has to be; None lets it be anybody's.

    Raises
    ------
    LogError, NothingLoggedError
    """
    from beadcheck.log import measurement_of  # noqa: PLC0415  # see above
    from beadcheck.trends import last_run_of  # noqa: PLC0415  # see above

    with _opened_log() as log:
        found = measurement_of(log, number)
        if of is not None and found.logged.person != of:
            raise NothingLoggedError
        return Opened(found=found, last_run=last_run_of(log, found))


def names_corrected(number: int, said: Naming) -> "Saved":
    """Keep a measurement under the right names; the first one stays.

    Raises
    ------
    LogError, NothingLoggedError
    """
    from beadcheck.log import correct_names  # noqa: PLC0415  # see above

    with _opened_log() as log:
        return correct_names(
            log,
            number,
            person_name=said.person,
            coupon_name=said.coupon,
            at=datetime.now().astimezone(),
        )


def kept_sheet(number: int, *, of: str | None, paper: str, unit: str) -> PrintedPages:
    """Draw the sheet of a measurement once more, which has to be of that person if one is named.

    Raises
    ------
    BeadcheckError
        There is no such measurement, paper or unit.
    """
    from beadcheck.sheet.logged import logged_sheet  # noqa: PLC0415  # see above

    size = entered_paper(paper)
    try:
        shown = LengthUnit(unit)
    except ValueError:
        raise UnusableEntryError("The unit", "it is mm or inch") from None
    opened = kept_measurement(number, of=of)
    sheet = logged_sheet(opened.found, paper=size, unit=shown, since=opened.since(shown))
    return PrintedPages(name=f"beadcheck-sheet-{number}-{paper}.pdf", pdf=sheet.pdf)


def kept_values(person: str | None) -> Iterator[str]:
    """Lines of a table with every value, of one person or of everybody.

    Raises
    ------
    LogError, NothingLoggedError
    """
    from beadcheck.log import csv_lines  # noqa: PLC0415  # see above

    with _opened_log() as log:
        yield from csv_lines(log, _selection(person))


def _selection(person: str | None) -> "Selection":
    from beadcheck.log import Selection  # noqa: PLC0415  # see above

    return Selection(person=person)
