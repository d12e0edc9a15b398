"""A sign of a symptom: one quantity beyond its limit, or beyond what is usual."""

from dataclasses import dataclass

from beadcheck.advice.piece import Urgency
from beadcheck.advice.symptom import Symptom
from beadcheck.coupon import WeldPass
from beadcheck.limits import Sense
from beadcheck.quantity import QuantityName, Statistic

ON_FACE = (WeldPass.CAP,)
ON_ROOT_SIDE = (WeldPass.ROOT_SIDE,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One row of the table of signs.

    Attributes
    ----------
    statistics
        Those whose limits count; the first is also held against the threshold.
    wanted
        Which side of the limit is wanted.
    threshold
        Beyond which a value counts where no limit speaks, in the unit of the quantity; None where
        only a limit can say it.
    by_limits
        Whether limits count at all.
    words
        Sentence with ``{value}``, ``{under}`` (its negative), ``{limit}`` (in brackets, or empty),
        ``{at}`` (place), ``{edge}``, ``{toe}``, ``{length}`` of what was measured, and ``{spots}``
        (how far apart the pulse spots lie and how long they are, or empty).
    passes
        What it holds for; all, where empty.
    """

    symptom: Symptom
    name: QuantityName
    statistics: tuple[Statistic, ...]
    wanted: Sense
    words: str
    threshold: float | None = None
    urgency: Urgency = Urgency.SHAPE
    by_limits: bool = True
    passes: tuple[WeldPass, ...] = ()
