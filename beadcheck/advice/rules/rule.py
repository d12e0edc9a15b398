"""One row of the table of rules."""

from collections.abc import Collection
from dataclasses import dataclass

from beadcheck.advice.piece import Basis
from beadcheck.advice.push import Move
from beadcheck.advice.situation import Situation
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.coupon import Process, WeldPass

WIRE = (Process.GTAW, Process.GTAW_PULSED)
"""Processes whose wire the other hand feeds."""
STICK = (Process.SMAW,)
PULSED = (Process.GTAW_PULSED,)
SPATTERING = (Process.SMAW, Process.GMAW)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change that may help.

    Attributes
    ----------
    words
        What to do, as a sentence with ``{edge}`` and ``{side}``; empty where the amount of the move
        words it.
    processes
        What it can be done with; all, where empty. A process that is not given rules it out.
    """

    move: Move
    why: str
    basis: tuple[Basis, ...]
    words: str = ""
    processes: tuple[Process, ...] = ()

    def can_be_done(self, process: Process | None) -> bool:
        """Whether it can be done with this process."""
        return not self.processes or process in self.processes


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What to try for a symptom, the best first.

    Attributes
    ----------
    processes, passes
        What it holds for; all, where empty. A process that is not given rules it out.
    beside
        Other symptoms that must be seen too.
    overhead_only
        Whether it holds for overhead welds alone.
    explains
        Symptoms that have the same cause, and need no advice of their own.
    look_first
        What tells the cause, before anything is changed; else empty.
    """

    symptom: Symptom
    changes: tuple[Change, ...]
    processes: tuple[Process, ...] = ()
    passes: tuple[WeldPass, ...] = ()
    beside: tuple[Symptom, ...] = ()
    overhead_only: bool = False
    explains: tuple[Symptom, ...] = ()
    look_first: str = ""

    def holds(self, sighting: Sighting, situation: Situation, seen: Collection[Symptom]) -> bool:
        """Whether the rule speaks to this sighting."""
        return (
            self.symptom is sighting.symptom
            and (not self.processes or situation.process in self.processes)
            and (not self.passes or situation.weld_pass in self.passes)
            and all(each in seen for each in self.beside)
            and (sighting.overhead or not self.overhead_only)
        )
