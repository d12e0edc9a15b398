"""The printed sheet of a measurement: which file, which paper, and what stands on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from beadcheck.cli.streams import tell
from beadcheck.log import Measurement
from beadcheck.pipeline import MeasuredTake
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.sheet import SheetFacts, SheetPhoto, sheet_pdf, sheet_photo
from beadcheck.sheet.logged import logged_sheet
from beadcheck.target.ink import Paper
from beadcheck.whole_file import write_whole


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetOrder:
    """Where a sheet goes, on which paper, and what nobody sees in a photo.

    Attributes
    ----------
    since
        Says in sentences what changed since the welder's last run; None where no log is asked.
    """

    file: Path
    paper: Paper
    facts: SheetFacts
    since: Callable[[Result], list[str]] | None = None

    def of_pass(self, name: str) -> "SheetOrder":
        """Return the same for one pass of several, whose name goes into the file's."""
        return replace(self, file=self.file.with_stem(f"{self.file.stem}-{name}"))


def sheet_order(file: Path, paper: str, person: str | None, coupon: str | None) -> SheetOrder:
    """Return the order of a sheet that is measured now; what was not said is left to fill in."""
    facts = SheetFacts(
        coupon=coupon or "",
        welder=person or "",
        taken_on=datetime.now().astimezone().date().isoformat(),
    )
    return SheetOrder(file=file, paper=Paper(paper), facts=facts)


def shown_photos(take: MeasuredTake, first: int, unit: LengthUnit) -> list[SheetPhoto]:
    """Pictures of a take's photos; `first` is the first one's index in the joined result."""
    return [
        replace(sheet_photo(each.photo, take.result, index, unit=unit), index=first + index)
        for index, each in enumerate(take.photos)
        if each.photo is not None
    ]


def write_sheet(
    order: SheetOrder, result: Result, photos: Sequence[SheetPhoto], unit: LengthUnit
) -> None:
    """Write the sheet, and say so.

    Raises
    ------
    FileNotWritableError
    """
    since = () if order.since is None else tuple(order.since(result))
    facts = replace(order.facts, since=since)
    pdf = sheet_pdf(result, photos, facts=facts, paper=order.paper, unit=unit)
    _write(order.file, pdf)


def write_logged_sheet(
    found: Measurement, file: Path, *, paper: str, unit: LengthUnit, since: list[str]
) -> None:
    """Write the sheet of a logged measurement, from the log's own copies of its photos.

    A photo whose copy is gone is left out; the numbers stand.

    Parameters
    ----------
    since
        Sentences on what changed since the welder's run before.

    Raises
    ------
    FileNotWritableError
    """
    sheet = logged_sheet(found, paper=Paper(paper), unit=unit, since=since)
    for name in sheet.without_copy:
        tell(f"The log holds no copy of {name}, so the sheet shows no picture of it.")
    _write(file, sheet.pdf)


def _write(file: Path, pdf: bytes) -> None:
    write_whole(file, [pdf])
    tell(f"Sheet written to {file}.")
