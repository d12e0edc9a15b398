"""Advice on a photo before it is measured: what is wrong with it, and what to do."""

from beadcheck.photo_advice.advice import (
    MOST_AT_ONCE,
    PhotoAdvice,
    most_harmful_first,
    refusal_as_advice,
)
from beadcheck.photo_advice.judge import WeldFace, judged_photo
from beadcheck.photo_advice.judge_section import judged_section
from beadcheck.photo_advice.look import photo_advice, photo_advice_without_target

__all__ = [
    "MOST_AT_ONCE",
    "PhotoAdvice",
    "WeldFace",
    "judged_photo",
    "judged_section",
    "most_harmful_first",
    "photo_advice",
    "photo_advice_without_target",
    "refusal_as_advice",
]
