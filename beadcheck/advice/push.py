"""Which way a change goes: what it turns, and what that makes more or less of."""

from collections.abc import Iterable, Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final


class Push(StrEnum):
    """Which way a change goes; the values are the words of the result format."""

    HOTTER = "hotter"
    COLDER = "colder"
    FASTER = "faster"
    SLOWER = "slower"
    MORE_METAL = "more metal"
    LESS_METAL = "less metal"
    LONGER_STEP = "longer step"
    SHORTER_STEP = "shorter step"
    WIDER_ROOT = "wider root"
    TIGHTER_ROOT = "tighter root"


_PAIRS: Final = (
    frozenset({Push.HOTTER, Push.COLDER}),
    frozenset({Push.FASTER, Push.SLOWER}),
    frozenset({Push.MORE_METAL, Push.LESS_METAL}),
    frozenset({Push.LONGER_STEP, Push.SHORTER_STEP}),
    frozenset({Push.WIDER_ROOT, Push.TIGHTER_ROOT}),
)


def opposed(some: Iterable[Push], others: Iterable[Push]) -> bool:
    """Whether anything in one is the opposite of anything in the other.

    Examples
    --------
    >>> opposed([Push.HOTTER], [Push.SLOWER, Push.COLDER])
    True
    >>> opposed([Push.HOTTER], [Push.FASTER])
    False
    """
    theirs = set(others)
    return any({one, other} in _PAIRS for one in some for other in theirs)


class Lever(StrEnum):
    """What a hand or a knob changes; one piece of advice for each is enough."""

    HEAT = "heat"
    TRAVEL = "travel"
    METAL = "metal"
    WEAVE = "weave"
    RHYTHM = "rhythm"
    ARC_LENGTH = "arc length"
    AIM = "aim"
    FIT_UP = "fit-up"
    LOOKING = "looking"


class Move(StrEnum):
    """What can be changed."""

    RAISE_CURRENT = "raise current"
    LOWER_CURRENT = "lower current"
    LOWER_BACKGROUND = "lower background current"
    LENGTHEN_PEAK = "lengthen peak"
    SHORTEN_PEAK = "shorten peak"
    LENGTHEN_BACKGROUND = "lengthen background"
    STEP_LESS = "step less"
    STEP_MORE = "step more"
    SPEED_UP = "speed up"
    SLOW_DOWN = "slow down"
    ADD_METAL = "add metal"
    LEAVE_METAL = "leave metal"
    KEEP_TO_WEAVE = "keep to weave"
    KEEP_RHYTHM = "keep rhythm"
    SHORTEN_ARC = "shorten arc"
    AIM_BETTER = "aim better"
    FIT_BETTER = "fit better"
    OPEN_ROOT = "open root"
    CLOSE_ROOT = "close root"
    LOOK = "look"


_TURNS: Final[Mapping[Move, tuple[Lever, tuple[Push, ...]]]] = MappingProxyType(
    {
        Move.RAISE_CURRENT: (Lever.HEAT, (Push.HOTTER,)),
        Move.LOWER_CURRENT: (Lever.HEAT, (Push.COLDER,)),
        Move.LOWER_BACKGROUND: (Lever.HEAT, (Push.COLDER,)),
        Move.LENGTHEN_PEAK: (Lever.HEAT, (Push.HOTTER,)),
        Move.SHORTEN_PEAK: (Lever.HEAT, (Push.COLDER,)),
        # At the same travel, a pulse that comes later comes farther on.
        Move.LENGTHEN_BACKGROUND: (Lever.HEAT, (Push.COLDER, Push.LONGER_STEP)),
        Move.STEP_LESS: (Lever.TRAVEL, (Push.SLOWER, Push.SHORTER_STEP)),
        Move.STEP_MORE: (Lever.TRAVEL, (Push.FASTER, Push.LONGER_STEP)),
        # The wire or the rod melts as before, so each millimetre gets less of it, or more.
        Move.SPEED_UP: (Lever.TRAVEL, (Push.FASTER, Push.LONGER_STEP, Push.LESS_METAL)),
        Move.SLOW_DOWN: (Lever.TRAVEL, (Push.SLOWER, Push.SHORTER_STEP, Push.MORE_METAL)),
        Move.ADD_METAL: (Lever.METAL, (Push.MORE_METAL,)),
        Move.LEAVE_METAL: (Lever.METAL, (Push.LESS_METAL,)),
        Move.KEEP_TO_WEAVE: (Lever.WEAVE, ()),
        Move.KEEP_RHYTHM: (Lever.RHYTHM, ()),
        Move.SHORTEN_ARC: (Lever.ARC_LENGTH, ()),
        Move.AIM_BETTER: (Lever.AIM, ()),
        Move.FIT_BETTER: (Lever.FIT_UP, ()),
        Move.OPEN_ROOT: (Lever.FIT_UP, (Push.WIDER_ROOT,)),
        Move.CLOSE_ROOT: (Lever.FIT_UP, (Push.TIGHTER_ROOT,)),
        Move.LOOK: (Lever.LOOKING, ()),
    }
)


def lever_of(move: Move) -> Lever:
    """What the move turns."""
    return _TURNS[move][0]


def pushes_of(move: Move) -> tuple[Push, ...]:
    """Which way the move goes."""
    return _TURNS[move][1]
