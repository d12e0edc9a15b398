"""Steel pipe by nominal size and schedule, as in ASME B36.10M."""

import csv
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Final

from beadcheck.errors.setting import (
    PipeSizeNotReadableError,
    UnknownPipeSizeError,
    UnknownScheduleError,
)

_SIZE: Final = re.compile(
    r"(?P<system>NPS|DN)?\s*"
    r"(?P<number>\d+(?:\.\d+)?(?:[\s-]+\d+/\d+|/\d+)?)"
    r"\s*(?:INCHES|INCH|IN\.?|\"|\u2033|\u201d|\'\')?"
    r"(?:[\s,-]*(?:SCHEDULE|SCHED\.?|SCH\.?|S)?[\s-]*(?P<schedule>\d+S?|STD|XS|XXS|XH|XXH))?"
)
_OLD_NAMES: Final = {"XH": "XS", "XXH": "XXS"}
"""Extra heavy and double extra heavy: older shop words (common practice, no published source)."""
_NEAREST_SHOWN: Final = 2
_LONGEST_TEXT: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeSize:
    """One size of pipe.

    Attributes
    ----------
    nps, dn
        Nominal size: in inches as written (``1-1/2``), and its metric name.
    schedule, wall_thickness_mm
        None where only the nominal size was named.
    """

    nps: str
    dn: int
    outside_diameter_mm: float
    schedule: str | None = None
    wall_thickness_mm: float | None = None

    @property
    def nps_in(self) -> Fraction:
        """Nominal size as a number, in inches."""
        return _as_fraction(self.nps)

    def __str__(self) -> str:
        return f"NPS {self.nps}" + (f" SCH {self.schedule}" if self.schedule else "")


def parse_pipe_size(text: str) -> PipeSize:
    """Pipe of a nominal size, with or without its schedule.

    Case and spaces do not matter; a size without ``NPS`` or ``DN`` is taken as NPS.

    Raises
    ------
    PipeSizeNotReadableError
        If the words make no size.
    UnknownPipeSizeError, UnknownScheduleError
        If the table does not hold it; the nearest that it holds are named.

    Examples
    --------
    >>> parse_pipe_size("NPS 8 SCH 60")
    PipeSize(nps='8', dn=200, outside_diameter_mm=219.1, schedule='60', wall_thickness_mm=10.31)
    >>> str(parse_pipe_size("dn40 xs"))
    'NPS 1-1/2 SCH XS'
    """
    found = _SIZE.fullmatch(_plain(text)) if len(text) <= _LONGEST_TEXT else None
    if found is None:
        raise PipeSizeNotReadableError(text[:_LONGEST_TEXT])
    system = "DN" if found["system"] == "DN" else "NPS"
    try:
        number = _as_fraction(found["number"])
    except (ValueError, ZeroDivisionError) as error:
        raise PipeSizeNotReadableError(text) from error
    named = [size for size in pipe_sizes() if _nominal(size, system) == number]
    if not named:
        raise UnknownPipeSizeError(f"{system} {found['number']}", _nearest(number, system))
    schedule = found["schedule"]
    if schedule is None:
        return replace(named[0], schedule=None, wall_thickness_mm=None)
    schedule = _OLD_NAMES.get(schedule, schedule)
    for size in named:
        if size.schedule == schedule:
            return size
    known = _in_words((size.schedule or "" for size in named), joint="and")
    raise UnknownScheduleError(f"{system} {found['number']}", schedule, known)


@cache
def pipe_sizes() -> tuple[PipeSize, ...]:
    """Every pipe of the table, by size and then as the table lists the schedules."""
    text = (resources.files("beadcheck.coupon") / "pipe_sizes.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        PipeSize(
            nps=row["nps"],
            dn=int(row["dn"]),
            outside_diameter_mm=float(row["od_mm"]),
            schedule=row["schedule"],
            wall_thickness_mm=float(row["wall_mm"]),
        )
        for row in rows
    )


def _plain(text: str) -> str:
    """Capitals without accents, with fractions such as ½ spelt out."""
    spelt = "".join(
        f" {unicodedata.normalize('NFKC', sign)}" if unicodedata.category(sign) == "No" else sign
        for sign in text
    )
    spelt = spelt.replace("\u2044", "/").replace("\u2013", "-").replace("\u2011", "-")
    return spelt.strip().upper()


def _as_fraction(number: str) -> Fraction:
    """Exact value of ``8``, ``1.5``, ``3/4``, ``1-1/2`` or ``1 1/2``."""
    return sum((Fraction(part) for part in re.split(r"[\s-]+", number)), start=Fraction(0))


def _nominal(size: PipeSize, system: str) -> Fraction:
    return Fraction(size.dn) if system == "DN" else size.nps_in


def _nearest(number: Fraction, system: str) -> str:
    """Name the sizes next to a number, smaller first."""
    labels = {
        _nominal(size, system): f"{system} {size.dn if system == 'DN' else size.nps}"
        for size in pipe_sizes()
    }
    nearest = sorted(labels, key=lambda nominal: abs(nominal - number))[:_NEAREST_SHOWN]
    return _in_words((labels[nominal] for nominal in sorted(nearest)), joint="and")


def _in_words(names: Iterable[str], *, joint: str) -> str:
    *most, last = names
    return f"{', '.join(most)} {joint} {last}" if most else last
