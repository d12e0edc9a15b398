"""The flags that concern the log, of ``beadcheck measure`` and ``beadcheck log``."""

from dataclasses import dataclass
from typing import Annotated, Final

import typer

from beadcheck.cli import headings
from beadcheck.errors.command import FlagNeedsFlagError

Save = Annotated[
    bool,
    typer.Option(
        "--save",
        help="Add the result and copies of the photos to the log.",
        rich_help_panel=headings.LOG,
    ),
]
PersonFlag = Annotated[
    str | None,
    typer.Option(
        metavar="NAME",
        help="Nickname or number of who welded it.",
        rich_help_panel=headings.LOG,
    ),
]
CouponFlag = Annotated[
    str | None,
    typer.Option(
        "--coupon",
        metavar="NAME",
        help="What the coupon is called; the day and time of measuring unless said.",
        rich_help_panel=headings.LOG,
    ),
]
MeasuredBy = Annotated[
    str | None,
    typer.Option(
        metavar="NAME",
        help="Nickname or number of who measured it, if not who welded it.",
        rich_help_panel=headings.LOG,
    ),
]
Corrects = Annotated[
    int | None,
    typer.Option(
        metavar="NUMBER",
        min=1,
        help="The earlier measurement in the log that this one takes the place of; it stays there.",
        rich_help_panel=headings.LOG,
    ),
]
LogFlag = Annotated[
    str | None,
    typer.Option(
        "--log",
        metavar="FILE|URL",
        help="Which log: a file, or a PostgreSQL address; without, BEADCHECK_LOG or a file of "
        "your own.",
        rich_help_panel=headings.LOG,
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """What is said of a measurement that goes into the log."""

    log: str | None
    person: str | None
    coupon: str | None
    measured_by: str | None
    corrects: int | None


_ON_SHEET: Final = ("--person", "--coupon")
"""What a printed sheet says too, whether anything is saved or not."""


def keeping_from_flags(
    *,
    save: bool,
    person: str | None,
    coupon: str | None,
    measured_by: str | None,
    corrects: int | None,
    log: str | None,
    person_in_file: bool = False,
    on_sheet: bool = False,
) -> Keeping | None:
    """What is said for the log; None where nothing is to be saved.

    Raises
    ------
    FlagNeedsFlagError
    """
    given = {
        "--person": person,
        "--coupon": coupon,
        "--measured-by": measured_by,
        "--corrects": corrects,
        "--log": log,
    }
    if not save:
        for flag, value in given.items():
            if value is not None and not (on_sheet and flag in _ON_SHEET):
                raise FlagNeedsFlagError(flag, "--save")
        return None
    if person is None and not person_in_file:
        raise FlagNeedsFlagError("--save", "--person NAME (a nickname or a number is enough)")
    return Keeping(
        log=log, person=person, coupon=coupon, measured_by=measured_by, corrects=corrects
    )
