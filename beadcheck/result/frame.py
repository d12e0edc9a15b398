"""The record of the target's own frame in one photo; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class TargetPartRecord:
    """One rigid part of the target as the photo shows it, against the part that gives the frame."""

    segment: int
    """Which of the segments that a strip is glued together from, from 0."""
    turn: int
    """-1 or 1 where it is seen beyond the place at which a strip closes on itself; else 0."""
    starts_mm: float
    """x at which it begins as printed: a strip's end or its glued joint, in mm on the metal."""
    shift_mm: float
    """How far it lies from its printed place along the strip, in mm on the metal."""
    shift_u_mm: float
    """Standard uncertainty of that shift, in mm."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class TargetFrameRecord:
    """Where in the target's own frame a photo lies, and what it tells of the pipe.

    Places in this frame lie on the bare metal: on pipe x runs along the strip from its 12 o'clock
    mark, on plate along the target from its corner; y is the distance from the target's edge y = 0,
    growing towards the target.
    """

    parts: tuple[TargetPartRecord, ...]
    """Every rigid part that the photo shows; the first gives the frame, its shift is 0."""
    print_ratio: float
    """Printed over nominal length that all lengths were worked out with."""
    print_u_ratio: float
    """Standard uncertainty of that ratio."""
    bar_measured: bool
    """Whether the ratio comes from a check bar that somebody measured."""
    clock_sense: int
    """1 where the clock grows with x, else -1."""
    turn_mm: float | None
    """Length of one turn of the strip as printed for its pipe, in mm on the metal; null for a
    target that is not made to close on itself."""
    strip_diameter_mm: float | None
    """Outside diameter, or bore, of the pipe that the strip is printed for, in mm, as designed."""
    alone_diameter_mm: float | None
    """The same as the markers of this photo alone show it, in mm; null on a plate."""
    alone_diameter_u_mm: float | None
    """Standard uncertainty of that diameter, in mm."""
