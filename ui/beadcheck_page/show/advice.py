"""What to change on the next run, and beside it why, how sure, and on whose word."""

from beadcheck.report.advised import advice_words
from beadcheck.result import AdviceRecord, Result
from beadcheck_page.show.markup import sentence, text

OPEN: frozenset[str] = frozenset({"Look first", "Seen", "For a number"})
"""Labels that stand beside the change; the others wait for a tap."""


def advice(result: Result) -> str:
    """Markup of the changes, the one to try first on top; empty where there are none."""
    if not result.advice:
        return ""
    items = "".join(_item(each) for each in result.advice)
    return (
        "<h3>What to change next</h3>"
        "<p>One thing at a time, the first one first: weld again, and measure again.</p>"
        f'<ol class="bc-advice">{items}</ol>'
    )


def _item(piece: AdviceRecord) -> str:
    told = advice_words(piece)
    beside = "".join(_line(label, words) for label, words in told if label in OPEN)
    folded = "".join(_line(label, words) for label, words in told if label not in OPEN)
    return (
        f"<li><p><strong>{sentence(piece.change)}</strong></p>{beside}"
        f'<details class="bc-fold"><summary>Why, and what then'
        f'<span class="bc-hidden">: {text(piece.change)}</span></summary>{folded}</details></li>'
    )


def _line(label: str, words: str) -> str:
    return f"<p><strong>{text(label)}:</strong> {text(words)}</p>"
