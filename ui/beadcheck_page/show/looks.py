"""What a quick look at a photo found, in words and signs."""

from typing import Final

from beadcheck.errors.target import NoMarkerError
from beadcheck.limits import Finding
from beadcheck.photo_advice import MOST_AT_ONCE, PhotoAdvice
from beadcheck_page.lookout import Look, LookState
from beadcheck_page.show.findings import SIGNS
from beadcheck_page.show.markup import sentence, text

GOOD: Final = "Good to measure"
LOOKING: Final = "Checking the photo…"
UNSETTLED: Final = "Enter the pipe's size under “Coupon and pass”, and this photo is checked."
NO_TARGET: Final = "If the photo shows no target, switch on “No target in the photo”."
BETTER_SIGN: Final = '<path d="M12 1l11 21H1z"/><path class="bc-ink" d="M12 9v6m0 3.4v.1"/>'
"""A triangle with an exclamation mark; a photo that cannot be measured has the crossed square."""


def look(seen: Look) -> str:
    """Markup of what is wrong with a photo, or that nothing is."""
    if seen.state is LookState.UNSETTLED:
        return f'<p class="bc-look" data-look="unsettled">{text(UNSETTLED)}</p>'
    if seen.state is LookState.LOOKING:
        return f'<p class="bc-look" data-look="looking">{LOOKING}</p>'
    if not seen.advice:
        return (
            f'<p class="bc-look bc-look-good" data-look="good">{_sign(SIGNS[Finding.WITHIN])}'
            f"<strong>{GOOD}</strong></p>"
        )
    shown = seen.advice[:MOST_AT_ONCE]
    items = "".join(
        _item(each, begins=not number or shown[number - 1].stops != each.stops)
        for number, each in enumerate(shown)
    )
    return f'<ul class="bc-look" data-look="advice">{items}</ul>'


def _item(advice: PhotoAdvice, *, begins: bool) -> str:
    """One sentence with its sign; the first of its kind begins with the word for it."""
    if advice.stops:
        kind, sign, word = "stops", SIGNS[Finding.OUTSIDE], "Cannot be measured:"
    else:
        kind, sign, word = "better", BETTER_SIGN, "Could be better:"
    lead = f"<strong>{word}</strong> " if begins else ""
    return (
        f'<li class="bc-look-{kind}" data-code="{text(advice.code)}">{_sign(sign)}'
        f"<span>{lead}{sentence(advice.message)}{_way_out(advice)}</span></li>"
    )


def _way_out(advice: PhotoAdvice) -> str:
    return f" {NO_TARGET}" if advice.code == NoMarkerError.code else ""


def _sign(drawing: str) -> str:
    return f'<svg viewBox="0 0 24 24" aria-hidden="true">{drawing}</svg>'
