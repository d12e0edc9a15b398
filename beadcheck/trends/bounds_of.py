"""The limits that a value was last compared with."""

from beadcheck.log import Wanted
from beadcheck.result import Result
from beadcheck.trends.trend import Bounds


def bounds_of(result: Result, wanted: Wanted) -> Bounds:
    """Limits of a value in a result's own comparisons; none where it was compared with none.

    Of several limits the strictest counts, and a limit that depends on something unknown does not.
    """
    checks = [
        check
        for check in result.checks
        if check.name == wanted.name.value
        and check.statistic == wanted.statistic.value
        and check.unit == wanted.unit.value
        and check.limit is not None
        and check.side == (None if wanted.side is None else wanted.side.value)
    ]
    highest = [c.limit for c in checks if c.sense != "at least" and c.limit is not None]
    lowest = [c.limit for c in checks if c.sense == "at least" and c.limit is not None]
    lowest += [c.lowest for c in checks if c.lowest is not None]
    return Bounds(
        lowest=max(lowest, default=None),
        highest=min(highest, default=None),
        source=checks[0].source if checks else "",
    )
