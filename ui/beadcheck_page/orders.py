"""What one measurement is asked to do, how far it is, and what came out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from beadcheck.pipeline import Pointer
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result
from beadcheck.toes import HandToes
from beadcheck_page.entries import Settings
from beadcheck_page.intake import StoredPhoto


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The photos to measure, and how.

    Attributes
    ----------
    pointers, hand
        Keyed by the photo's key.
    bare
        Keys of photos that are measured without a target, whatever the settings say.
    """

    photos: tuple[StoredPhoto, ...]
    settings: Settings
    pointers: Mapping[str, Pointer] = field(default_factory=dict)
    hand: Mapping[str, HandToes] = field(default_factory=dict)
    bare: frozenset[str] = frozenset()

    def without_target(self, photo: StoredPhoto) -> bool:
        """Tell whether a photo is measured without a target."""
        return self.settings.without_target or photo.key in self.bare


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A finished measurement.

    Attributes
    ----------
    photos
        The stored photos, in the order of `result.photos`.
    files
        What may be fetched, by the last part of its address.
    downloads
        The names among `files` that are offered for saving, with a few words each.
    """

    key: str
    result: Result
    photos: tuple[StoredPhoto, ...]
    files: Mapping[str, Path]
    downloads: tuple[tuple[str, str], ...]

    def picture_name(self, index: int, unit: LengthUnit) -> str | None:
        """Name of a photo's annotated picture as shown on the page, where it has one."""
        name = f"view-{index + 1}-{unit.value}.jpg"
        return name if name in self.files else None

    def large_name(self, index: int) -> str:
        """Name of a photo as it was sent, large, where it could be read."""
        return large_name(index)


def large_name(index: int) -> str:
    """Name of the large picture, on which toes are corrected, of the photo of this index."""
    return f"large-{index + 1}.jpg"


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
