"""How much to change: the words of moves whose amount follows from what is measured and set."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.advice.amounts.current import (
    lower_background,
    lower_current,
    raise_current,
)
from beadcheck.advice.amounts.pulse_times import lengthen_background, lengthen_peak, shorten_peak
from beadcheck.advice.amounts.root import close_root, open_root
from beadcheck.advice.amounts.steps import step_less, step_more
from beadcheck.advice.amounts.travel import slow_down, speed_up
from beadcheck.advice.amounts.worded import Worded
from beadcheck.advice.push import Move
from beadcheck.advice.situation import Situation

__all__ = ["Worded", "worded"]

_AMOUNTS: Final[Mapping[Move, Callable[[Situation], Worded | None]]] = MappingProxyType(
    {
        Move.RAISE_CURRENT: raise_current,
        Move.LOWER_CURRENT: lower_current,
        Move.LOWER_BACKGROUND: lower_background,
        Move.LENGTHEN_PEAK: lengthen_peak,
        Move.SHORTEN_PEAK: shorten_peak,
        Move.LENGTHEN_BACKGROUND: lengthen_background,
        Move.STEP_LESS: step_less,
        Move.STEP_MORE: step_more,
        Move.SPEED_UP: speed_up,
        Move.SLOW_DOWN: slow_down,
        Move.OPEN_ROOT: open_root,
        Move.CLOSE_ROOT: close_root,
    }
)


def worded(move: Move, situation: Situation) -> Worded | None:
    """Words of a move with its amount; None where it cannot be made here.

    Raises
    ------
    KeyError
        If the move has no amount: its rule words it.
    """
    return _AMOUNTS[move](situation)
