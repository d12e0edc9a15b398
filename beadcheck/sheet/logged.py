"""The sheet of a measurement that is in the log, from the log's own copies of its photos."""

from collections.abc import Sequence
from dataclasses import dataclass

from beadcheck.errors import PhotoError
from beadcheck.log import Measurement
from beadcheck.photo import read_photo
from beadcheck.report.wording import LengthUnit
from beadcheck.sheet.facts import SheetFacts
from beadcheck.sheet.make import sheet_pdf, sheet_photo
from beadcheck.target.ink import Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedSheet:
    """A sheet, and the names of the photos whose copies are gone: it shows no picture of them."""

    pdf: bytes
    without_copy: tuple[str, ...]


def logged_sheet(
    found: Measurement, *, paper: Paper, unit: LengthUnit, since: Sequence[str] = ()
) -> LoggedSheet:
    """Draw the sheet of a logged measurement; the numbers stand, whatever became of the photos.

    Parameters
    ----------
    since
        Sentences on what changed since the welder's run before.
    """
    photos, without_copy = [], []
    for index, kept in enumerate(found.photos):
        try:
            photo = None if kept.copy is None else read_photo(kept.copy)
        except PhotoError:
            photo = None
        if photo is None:
            without_copy.append(kept.file)
        else:
            photos.append(sheet_photo(photo, found.result, index, unit=unit))
    logged = found.logged
    facts = SheetFacts(
        coupon=", ".join((logged.coupon, logged.run)),
        welder=logged.person,
        taken_by=logged.measured_by or logged.person,
        taken_on=logged.measured_at.astimezone().date().isoformat(),
        since=tuple(since),
    )
    pdf = sheet_pdf(found.result, photos, facts=facts, paper=paper, unit=unit)
    return LoggedSheet(pdf=pdf, without_copy=tuple(without_copy))
