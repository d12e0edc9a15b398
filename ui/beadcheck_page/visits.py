"""Who is here: each browser's photos and its last measurement, kept for a while, then forgotten."""

import secrets
import shutil
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from beadcheck_page.bench import Bench
from beadcheck_page.entries import Entries
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Kept, Order, Outcome, Progress
from beadcheck_page.photo_refusals import (
    DiskNearlyFullError,
    TooManyArrivingError,
    TooManyPhotosError,
)
from beadcheck_page.uses import FACE, Use

MAX_PHOTOS: Final = 12
"""Per visit; a class set goes through the command line."""

MAX_PHOTO_BYTES: Final = 60_000_000
MOST_ARRIVING: Final = 60
"""Photos on their way at once; browsers send one after another."""

MAX_VISITS: Final = 400
LEAST_FREE_BYTES: Final = 1_000_000_000
"""Left to the rest of the computer; a large photo takes 0.1 GB while it is here."""

IDLE_S: Final = 2 * 3600.0
"""After two hours without a sign of life a visit is forgotten, its files included."""


@dataclass(slots=True)
class _Visit:
    folder: Path
    seen_s: float
    photos: tuple[StoredPhoto, ...] = ()
    uses: dict[str, Use] = field(default_factory=dict)
    receiving: int = 0
    job: str | None = None
    order: Order | None = None
    entries: Entries = field(default_factory=Entries)
    answered_times: tuple[object, object] | None = None
    kept: Kept | None = None
    person: str | None = None

    @property
    def holds_nothing(self) -> bool:
        return not self.photos and self.receiving == 0 and self.job is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A visit at one moment.

    Attributes
    ----------
    uses
        What a photo is for, by its key; a photo of which nothing was said is not in it.
    answered_times
        The two pulse times, as entered, that the last answer on what they count was given for.
    kept
        What went into the log last.
    person
        Who this device was said to belong to, where anybody said so.
    """

    photos: tuple[StoredPhoto, ...]
    uses: Mapping[str, Use]
    receiving: bool
    progress: Progress | None
    order: Order | None
    entries: Entries
    answered_times: tuple[object, object] | None
    kept: Kept | None
    person: str | None = None

    @property
    def untouched(self) -> bool:
        """Whether nothing was entered or sent yet."""
        return self.entries == Entries() and not self.photos and self.order is None

    @property
    def outcome(self) -> Outcome | None:
        """The last measurement, where it is finished."""
        return None if self.progress is None else self.progress.outcome

    @property
    def kept_as(self) -> Kept | None:
        """What the log holds of the present result."""
        if self.kept is None or self.outcome is None:
            return None
        return self.kept if self.kept.result == self.outcome.result else None

    def as_answered(self, entries: Entries) -> Entries:
        """Entries without an answer that was given for other pulse times."""
        if (entries.peak_s, entries.background_s) == self.answered_times:
            return entries
        return replace(entries, times_are=None)


class Visits:
    """All visits of one run of the page.

    A visit is known by a token that this store made; a token that it did not make opens nothing.
    """

    def __init__(
        self, folder: Path, bench: Bench, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._folder, self._bench, self._clock = folder, bench, clock
        self._lock = threading.RLock()
        self._visits: dict[str, _Visit] = {}
        self._arriving = 0

    def begin(self) -> str:
        """Open a visit, and return its token."""
        token = secrets.token_urlsafe(24)
        with self._lock:
            self._make_room()
            folder = self._folder / secrets.token_hex(8)
            self._visits[token] = _Visit(folder=folder, seen_s=self._clock())
        return token

    def known(self, token: str | None) -> bool:
        """Whether the token opens a visit."""
        return self.look(token) is not None

    def look(self, token: str | None) -> Visit | None:
        """Return the visit as it stands, or None where the token opens none."""
        with self._lock:
            visit = self._visits.get(token or "")
            if visit is None:
                return None
            visit.seen_s = self._clock()
            return Visit(
                photos=visit.photos,
                uses=dict(visit.uses),
                receiving=visit.receiving > 0,
                progress=None if visit.job is None else self._bench.progress(visit.job),
                order=visit.order,
                entries=visit.entries,
                answered_times=visit.answered_times,
                kept=visit.kept,
                person=visit.person,
            )

    def expect_photo(self, token: str) -> Path:
        """Announce a photo that is on its way, and return the visit's folder.

        Raises
        ------
        TooManyPhotosError
            The visit is full.
        TooManyArrivingError
            So many photos are on their way that this one has to wait.
        DiskNearlyFullError
            There is no room for another photo.
        """
        free = shutil.disk_usage(self._folder).free
        with self._lock:
            visit = self._visits[token]
            if len(visit.photos) + visit.receiving >= MAX_PHOTOS:
                raise TooManyPhotosError(MAX_PHOTOS)
            if self._arriving >= MOST_ARRIVING:
                raise TooManyArrivingError(MOST_ARRIVING)
            if free - self._arriving * MAX_PHOTO_BYTES < LEAST_FREE_BYTES:
                raise DiskNearlyFullError
            self._arriving += 1
            visit.receiving += 1
            visit.folder.mkdir(mode=0o700, exist_ok=True)
            return visit.folder

    def photo_came(
        self, token: str, folder: Path, photo: StoredPhoto | None, use: Use = FACE
    ) -> None:
        """Take in the announced photo and what it is for; None where it could not be used.

        Parameters
        ----------
        folder
            What `expect_photo` returned: the visit may have been emptied or forgotten since.
        """
        with self._lock:
            self._arriving -= 1
            visit = self._visits.get(token)
            if visit is None or visit.folder != folder:
                return
            visit.receiving -= 1
            if photo is not None:
                visit.photos = (*visit.photos, photo)
                visit.uses[photo.key] = use

    def use_photo(self, token: str, key: str, change: Callable[[Use], Use]) -> Use | None:
        """Change what a photo is for, and return it; None where there is no such photo."""
        with self._lock:
            visit = self._visits[token]
            if not any(photo.key == key for photo in visit.photos):
                return None
            visit.uses[key] = change(visit.uses.get(key, FACE))
            return visit.uses[key]

    def remove_photo(self, token: str, key: str) -> None:
        """Forget one photo, its files included."""
        with self._lock:
            visit = self._visits[token]
            gone = [photo for photo in visit.photos if photo.key == key]
            visit.photos = tuple(photo for photo in visit.photos if photo.key != key)
            visit.uses.pop(key, None)
        for photo in gone:
            shutil.rmtree(photo.path.parent, ignore_errors=True)

    def start(self, token: str, order: Order, entries: Entries) -> None:
        """Send an order to the bench in place of the visit's last one.

        Raises
        ------
        TooManyWaitingError
            The bench takes no further order; the last one stays.
        """
        with self._lock:
            visit = self._visits[token]
            last, visit.job = visit.job, self._bench.submit(order, visit.folder)
            visit.order, visit.entries = order, entries
            self._drop_job(visit, last)

    def remember(self, token: str, entries: Entries) -> None:
        """Keep the form for a reload."""
        with self._lock:
            self._visits[token].entries = entries

    def answer_times(self, token: str, entries: Entries) -> None:
        """Keep what the pulse times of these entries count."""
        with self._lock:
            visit = self._visits[token]
            visit.answered_times = (entries.peak_s, entries.background_s)
            visit.entries = entries

    def keep(self, token: str, kept: Kept) -> None:
        """Remember what went into the log."""
        with self._lock:
            self._visits[token].kept = kept

    def belongs_to(self, token: str, person: str | None) -> None:
        """Remember whose device it is; None for nobody's."""
        with self._lock:
            self._visits[token].person = person

    def empty(self, token: str) -> None:
        """Forget all of a visit but its token."""
        with self._lock:
            visit = self._visits[token]
            fresh = _Visit(folder=self._folder / secrets.token_hex(8), seen_s=self._clock())
            self._visits[token] = fresh
        self._clear(visit)

    def sweep(self) -> None:
        """Forget the visits that have been idle for too long."""
        with self._lock:
            oldest_s = self._clock() - IDLE_S
            idle = [token for token, visit in self._visits.items() if visit.seen_s < oldest_s]
            gone = [self._visits.pop(token) for token in idle]
        for visit in gone:
            self._clear(visit)

    def _make_room(self) -> None:
        """Forget whom it costs least: an empty visit before one that holds photos."""
        while len(self._visits) >= MAX_VISITS:
            least = min(
                self._visits,
                key=lambda token: (
                    not self._visits[token].holds_nothing,
                    self._visits[token].seen_s,
                ),
            )
            self._clear(self._visits.pop(least))

    def _clear(self, visit: _Visit) -> None:
        if visit.job is not None:
            self._bench.drop(visit.job)
        shutil.rmtree(visit.folder, ignore_errors=True)

    def _drop_job(self, visit: _Visit, job: str | None) -> None:
        if job is not None:
            self._bench.drop(job)
            shutil.rmtree(visit.folder / f"result-{job}", ignore_errors=True)
