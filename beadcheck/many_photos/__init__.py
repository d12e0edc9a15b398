"""Hundreds of photos, each by itself: on every core or on a cluster, resumed where it stopped."""

from beadcheck.many_photos.ask import Ask, ask_of
from beadcheck.many_photos.journal import Journal, journal_in
from beadcheck.many_photos.record import PhotoOutcome, Record
from beadcheck.many_photos.run import Told, measured_each
from beadcheck.many_photos.workers import LocalWorkers, Workers

__all__ = [
    "Ask",
    "Journal",
    "LocalWorkers",
    "PhotoOutcome",
    "Record",
    "Told",
    "Workers",
    "ask_of",
    "journal_in",
    "measured_each",
]
