"""How far a long run is, in words."""

from dataclasses import dataclass
from typing import Final

_ENOUGH: Final = 2
"""Photos from which on a rate says something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How far a run is.

    Attributes
    ----------
    done
        Photos dealt with, whenever that was.
    new
        Those of this run, which alone say how fast it goes.
    amiss
        Those of which nothing was measured.
    elapsed_s
        Since this run began.
    """

    total: int
    done: int
    new: int
    amiss: int
    elapsed_s: float

    @property
    def words(self) -> str:
        """How far, how fast, how long still, and how many are amiss.

        Examples
        --------
        >>> Pace(total=1000, done=500, new=100, amiss=3, elapsed_s=200.0).words
        '500 of 1000, 3 not measured, 30 a minute, 17 min left'
        """
        parts = [f"{self.done} of {self.total}"]
        if self.amiss:
            parts.append(f"{self.amiss} not measured")
        if self.new >= _ENOUGH and self.elapsed_s > 0.0:
            a_second = self.new / self.elapsed_s
            parts.append(f"{60.0 * a_second:.{0 if a_second > 0.15 else 1}f} a minute")
            if self.done < self.total:
                parts.append(f"{_time_words((self.total - self.done) / a_second)} left")
        return ", ".join(parts)


def _time_words(seconds: float) -> str:
    """Time in the unit that a person would use.

    Examples
    --------
    >>> _time_words(40.0), _time_words(1980.0), _time_words(9000.0)
    ('40 s', '33 min', '2.5 h')
    """
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    if seconds < 5400.0:
        return f"{seconds / 60.0:.0f} min"
    return f"{seconds / 3600.0:.1f} h"
