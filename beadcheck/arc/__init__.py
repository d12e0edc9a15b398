"""The arc: current, power and heat, pulses and travel, worked out from what is set and measured."""

from beadcheck.arc.answer import Answer, Asked, Unanswered
from beadcheck.arc.answers import answers
from beadcheck.arc.reading import Effect, Reading, worked_out
from beadcheck.arc.settings import (
    Arc,
    ArcSettings,
    CountedEnergy,
    PulsedArc,
    ShownPower,
    SteadyArc,
    Travel,
    TravelAtSpeed,
    TravelByRipples,
    TravelOfRun,
    background_of,
)
from beadcheck.arc.travel import times_question, travel_remark, what_follows

__all__ = [
    "Answer",
    "Arc",
    "ArcSettings",
    "Asked",
    "CountedEnergy",
    "Effect",
    "PulsedArc",
    "Reading",
    "ShownPower",
    "SteadyArc",
    "Travel",
    "TravelAtSpeed",
    "TravelByRipples",
    "TravelOfRun",
    "Unanswered",
    "answers",
    "background_of",
    "times_question",
    "travel_remark",
    "what_follows",
    "worked_out",
]
