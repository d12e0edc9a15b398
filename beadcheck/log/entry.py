"""What goes into the log, and what comes out of it."""

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path

from beadcheck.result import Result


class Corrected(StrEnum):
    """What a person corrected in a measurement."""

    TOES = "toes"
    SETTING = "setting"
    LIMITS = "limits"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What was corrected, by whom.

    Attributes
    ----------
    corrects
        Number of the earlier measurement that this one takes the place of; None where there was
        none.
    """

    what: Corrected
    by: str
    why: str = ""
    corrects: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One measurement to be saved.

    Attributes
    ----------
    photos
        The photos' files, in the order of the result's.
    person
        Nickname or number of who welded it; a person that is not in the log yet is added.
    coupon, run
        Names of the coupon and of its pass. The same names are the same coupon and pass.
    measured_at
        When it was measured, with its zone.
    measured_by
        Nickname or number of who measured it; None stands for who welded it.
    coupon_file
        Text of the coupon file that was measured, where there was one.
    """

    result: Result
    photos: tuple[Path, ...]
    person: str
    coupon: str
    run: str
    measured_at: datetime
    measured_by: str | None = None
    limit_set: str | None = None
    limit_edition: str | None = None
    filler: str | None = None
    coupon_file: str | None = None
    corrections: tuple[Correction, ...] = ()

    def __post_init__(self) -> None:
        if len(self.photos) != len(self.result.photos):
            msg = "every photo of the result needs its file"
            raise ValueError(msg)
        if self.measured_at.tzinfo is None:
            msg = "the time of measuring needs its zone"
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """What saving a measurement did."""

    number: int
    person: str
    coupon: str
    run: str
    new_person: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPerson:
    """Somebody to be added; `name` is a nickname, or the number where there is none."""

    name: str
    number: str | None = None
    class_name: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody in the log, and how much of theirs is in it."""

    name: str
    number: str | None
    class_name: str | None
    added_at: datetime
    measurements: int
    last_measured_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Selection:
    """Which measurements are wanted; what is not said does not matter.

    Attributes
    ----------
    person, measured_by
        Nickname or number.
    since, until
        First and last day (UTC), both included.
    latest_only
        Whether of a pass that was measured again the last measurement alone is wanted, and none
        that a correction takes the place of, whoever's that is.
    """

    person: str | None = None
    class_name: str | None = None
    coupon: str | None = None
    run: str | None = None
    weld_pass: str | None = None
    process: str | None = None
    position: str | None = None
    since: date | None = None
    until: date | None = None
    latest_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One pass of a coupon that somebody welded, as a measurement of it is saved.

    Attributes
    ----------
    person
        Nickname or number.
    corrects
        Number of the earlier measurement that this one takes the place of.
    """

    person: str
    coupon: str
    name: str
    weld_pass: str | None
    process: str | None
    measured_at: datetime
    corrects: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """One measurement as a list shows it."""

    number: int
    measured_at: datetime
    person: str
    class_name: str | None
    coupon: str
    run: str
    weld_pass: str | None
    process: str | None
    position: str | None
    measured_by: str | None
    limit_set: str | None
    limit_edition: str | None
    made_with: str
    within: int
    outside: int
    undecided: int
    not_measured: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPhoto:
    """A photo of a measurement.

    Attributes
    ----------
    copy
        The kept copy, upright and without metadata; None where the file was no picture.
    """

    file: str
    kind: str
    copy: Path | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCorrection:
    """A correction as it is kept; `by` is None where that person's data was deleted."""

    what: Corrected
    by: str | None
    at: datetime
    why: str
    corrects: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One measurement with everything that was kept.

    Attributes
    ----------
    replaced_by
        Number of the measurement that took its place; None where none did.
    """

    logged: Logged
    result: Result
    coupon_file: str | None
    photos: tuple[KeptPhoto, ...]
    corrections: tuple[KeptCorrection, ...] = field(default=())
    replaced_by: int | None = None
