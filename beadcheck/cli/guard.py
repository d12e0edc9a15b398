"""From the flags that say how limits are judged to the value that the library takes."""

from typing import Final

from beadcheck.limits import DecisionRule, Judging, LengthSystem

GUARDS: Final = {"full": DecisionRule.FULL, "95": DecisionRule.NINETY_FIVE}


def judging_from_flags(guard: str | None, *, inch: bool) -> Judging:
    """How to judge: the set's own rule unless said, by the inches that are printed if wanted."""
    return Judging(
        rule=None if guard is None else GUARDS[guard],
        system=LengthSystem.INCH if inch else LengthSystem.MM,
    )
