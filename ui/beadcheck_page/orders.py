"""What one measurement is asked to do, how far it is, and what came out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Pointer
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.toes import HandToes
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.takes import PageTake
from beadcheck_page.understanding import Settings
from beadcheck_page.uses import Use

if TYPE_CHECKING:
    from beadcheck.trends import LastRun


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The photos of one coupon to measure, and how.

    Attributes
    ----------
    uses, pointers, hand
        Keyed by the photo's key.
    bare
        Keys of photos that are measured without a target, whatever the settings say.
    """

    takes: tuple[PageTake, ...]
    settings: Settings
    uses: Mapping[str, Use] = field(default_factory=dict)
    pointers: Mapping[str, Pointer] = field(default_factory=dict)
    hand: Mapping[str, HandToes] = field(default_factory=dict)
    bare: frozenset[str] = frozenset()

    @property
    def photos(self) -> tuple[StoredPhoto, ...]:
        """Every photo, in the order of the result."""
        return tuple(photo for take in self.takes for photo in take.photos)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A finished measurement.

    Attributes
    ----------
    measured_at
        When it was finished, with its zone.
    judged
        The same result by the numbers that limits have in either unit; that of the order is
        `result`, which is what was saved.
    files
        What may be fetched, by the last part of its address.
    downloads
        The names among `files` that are offered for saving, with a few words each.
    """

    key: str
    measured_at: datetime
    result: Result
    takes: tuple[PageTake, ...]
    files: Mapping[str, Path]
    downloads: tuple[tuple[str, str], ...]
    judged: Mapping[LengthUnit, Result] = field(default_factory=dict)

    def result_in(self, unit: LengthUnit) -> Result:
        """Result whose limits are those that sources print in this unit."""
        return self.judged.get(unit, self.result)

    @property
    def photos(self) -> tuple[StoredPhoto, ...]:
        """The stored photos, in the order of `result.photos`."""
        return tuple(photo for take in self.takes for photo in take.photos)

    def plain_name(self, index: int) -> str:
        """Name of a photo as it was sent, in the size of the page, where it gave sections."""
        return plain_name(index)

    def from_above(self, photo: StoredPhoto) -> bool:
        """Tell whether a photo was measured from above: alone, or as the first view of a pair."""
        return any(
            take.kind in {PhotoKind.FACE, PhotoKind.PAIR} and take.photos[0].key == photo.key
            for take in self.takes
        )

    def picture_name(self, index: int, unit: LengthUnit) -> str | None:
        """Name of a photo's annotated picture as shown on the page, where it has one."""
        name = f"view-{index + 1}-{unit.value}.jpg"
        return name if name in self.files else None

    def whole_name(self, picture: "WholePicture", unit: LengthUnit) -> str | None:
        """Name of a picture of the weld from several photos, where there is one."""
        name = whole_name(picture, unit)
        return name if name in self.files else None

    def large_name(self, index: int) -> str:
        """Name of a photo as it was sent, large, where it could be read."""
        return large_name(index)


class WholePicture(StrEnum):
    """What is drawn of a weld from several photos; the endings of the pictures' names."""

    UNROLLED = "unrolled"
    ROUND = "round"
    ALONG = "along"


def whole_name(picture: WholePicture, unit: LengthUnit) -> str:
    """Name of one picture of the weld from several photos."""
    ending = "jpg" if picture is WholePicture.UNROLLED else "svg"
    return f"whole-{picture.value}-{unit.value}.{ending}"


def large_name(index: int) -> str:
    """Name of the large picture, on which toes are corrected, of the photo of this index."""
    return f"large-{index + 1}.jpg"


def plain_name(index: int) -> str:
    """Name of the picture, without marks, on which the sections of this photo are drawn."""
    return f"plain-{index + 1}.jpg"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What the log holds of a visit since somebody pressed Keep.

    Attributes
    ----------
    said
        Who welded it, as that was entered: the log may know that person by another name.
    photos
        Keys of the photos of the result.
    in_place_of
        Number of the earlier measurement that this one corrects.
    since
        What changed since the welder's last run of this kind; None where nobody may be told, or
        where there was none.
    """

    number: int
    result: Result
    photos: frozenset[str]
    said: str
    person: str
    coupon: str
    run: str
    new_person: bool
    in_place_of: int | None
    since: "LastRun | None" = None


class Phase(StrEnum):
    """Where a measurement stands."""

    WAITING = "waiting"
    MEASURING = "measuring"
    DONE = "done"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A measurement at one moment.

    Attributes
    ----------
    ahead
        Measurements that come before it.
    measured, total
        Photos that are done, and photos that were sent.
    sentence
        Why it failed, for a person.
    """

    key: str
    phase: Phase
    total: int
    ahead: int = 0
    measured: int = 0
    sentence: str = ""
    outcome: Outcome | None = None

    @property
    def running(self) -> bool:
        """Whether there is something to wait for."""
        return self.phase in {Phase.WAITING, Phase.MEASURING}
