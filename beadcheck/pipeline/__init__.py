"""Photos in, result out: the one call behind the command and the page."""

from beadcheck.pipeline.depth_seen import with_depth_seen
from beadcheck.pipeline.join import join
from beadcheck.pipeline.judged import all_judged_again, judge_of
from beadcheck.pipeline.request import (
    KnownTack,
    MeasuredPhoto,
    MeasuredTake,
    Pointer,
    Request,
    Take,
    takes_of,
)
from beadcheck.pipeline.run import joined, look_at, measure, measure_each
from beadcheck.pipeline.tack_notices import known_tacks

__all__ = [
    "KnownTack",
    "MeasuredPhoto",
    "MeasuredTake",
    "Pointer",
    "Request",
    "Take",
    "all_judged_again",
    "join",
    "joined",
    "judge_of",
    "known_tacks",
    "look_at",
    "measure",
    "measure_each",
    "takes_of",
    "with_depth_seen",
]
