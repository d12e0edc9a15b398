"""Photos in, result out: the one call behind the command and the page."""

from beadcheck.pipeline.depth_seen import with_depth_seen
from beadcheck.pipeline.join import join
from beadcheck.pipeline.judged import all_judged_again, judge_of
from beadcheck.pipeline.request import (
    MeasuredPhoto,
    MeasuredTake,
    Pointer,
    Request,
    Take,
    takes_of,
)
from beadcheck.pipeline.run import look_at, measure, measure_each

__all__ = [
    "MeasuredPhoto",
    "MeasuredTake",
    "Pointer",
    "Request",
    "Take",
    "all_judged_again",
    "join",
    "judge_of",
    "look_at",
    "measure",
    "measure_each",
    "takes_of",
    "with_depth_seen",
]
