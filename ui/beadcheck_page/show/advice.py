"""What to change on the next run, and beside it why, how sure, and on whose word."""

from beadcheck.report.advised import advice_words, change_words
from beadcheck.report.wording import LengthUnit
from beadcheck.result import AdviceRecord, Result
from beadcheck_page.show.markup import sentence, text

OPEN: frozenset[str] = frozenset({"Look first", "Seen", "For a number"})
"""Labels that stand beside the change; the others wait for a tap."""


def advice(result: Result, unit: LengthUnit) -> str:
    """Markup of the changes, the one to try first on top; empty where there are none."""
    if not result.advice:
        return ""
    items = "".join(_item(each, unit) for each in result.advice)
    return (
        "<h3>What to change next</h3>"
        "<p>One thing at a time, the first one first: weld again, and measure again.</p>"
        f'<ol class="bc-advice">{items}</ol>'
    )


def _item(piece: AdviceRecord, unit: LengthUnit) -> str:
    change = change_words(piece, unit)
    told = advice_words(piece, unit)
    beside = "".join(_line(label, words) for label, words in told if label in OPEN)
    folded = "".join(_line(label, words) for label, words in told if label not in OPEN)
    return (
        f"<li><p><strong>{sentence(change)}</strong></p>{beside}"
        f'<details class="bc-fold"><summary>Why, and what then'
        f'<span class="bc-hidden">: {text(change)}</span></summary>{folded}</details></li>'
    )


def _line(label: str, words: str) -> str:
    return f"<p><strong>{text(label)}:</strong> {text(words)}</p>"
