"""A piece of advice in words: the change, and what stands beside it."""

from beadcheck.advice import Sureness
from beadcheck.report.in_inches import in_unit
from beadcheck.report.wording import LengthUnit
from beadcheck.result import AdviceRecord


def change_words(advice: AdviceRecord, unit: LengthUnit) -> str:
    """The change that a piece of advice asks for."""
    return in_unit(advice.change, unit)


def advice_words(advice: AdviceRecord, unit: LengthUnit) -> list[tuple[str, str]]:
    """Label and sentence of everything beside the change, what to do before it first.

    What is not in doubt, not known or not asked for is left out.
    """
    told = [
        ("Look first", advice.look_first),
        ("Seen", _seen(advice)),
        ("Why", _sentence(advice.why)),
        ("If it stays so", advice.next_change),
        ("For a number", advice.needs),
        ("Source", _sentence(advice.basis)),
    ]
    return [(label, in_unit(words, unit)) for label, words in told if words]


def _seen(advice: AdviceRecord) -> str:
    """What was measured, and how sure it is where it is not."""
    seen = _sentence(advice.symptom)
    return seen if advice.sure == Sureness.SURE else f"{seen} ({advice.sure})"


def _sentence(words: str) -> str:
    plain = words.strip()
    if not plain:
        return ""
    return plain[0].upper() + plain[1:] + ("" if plain[-1] in ".!?" else ".")
