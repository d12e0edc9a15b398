"""A coupon file that was written, and what came of one that was read."""

from base64 import b64encode
from typing import TYPE_CHECKING

from beadcheck_page.show.markup import sentence, text

if TYPE_CHECKING:
    from beadcheck_page.coupon_in import FilledIn


def filled_in(found: "FilledIn") -> str:
    """Markup of what a file filled in, and what it could not."""
    which = "" if found.chosen is None else f", pass {found.chosen}"
    lines = "".join(f"<li>{sentence(each)}</li>" for each in found.said)
    more = f'<ul class="bc-steady">{lines}</ul>' if lines else ""
    return (
        f'<div class="bc-kept"><p><strong>Filled in</strong> from {text(found.title + which)}. '
        "Look through “Coupon and pass” and “Settings used” above before you measure.</p>"
        f"{more}</div>"
    )


def not_filled_in(why: str) -> str:
    """Markup of a refusal of a file; the form stays as it was."""
    return f'<p class="bc-refusal" role="alert"><strong>Not filled in.</strong> {sentence(why)}</p>'


def coupon_file(contents: str, name: str, *, photos: bool, by_hand: bool) -> str:
    """Markup of a coupon file: where to put it, its words, and a link that saves it."""
    coded = b64encode(contents.encode()).decode("ascii")
    beside = (
        "Save it beside the photos that it names; files that were called otherwise when they were "
        "sent have to be renamed."
        if photos
        else "It names no photo yet: add them first, or write them in by hand."
    )
    toes = " Toes that were placed by hand are not in it." if by_hand else ""
    return (
        f'<p>{beside}{toes} Then: <code>beadcheck measure "{text(name)}"</code></p>'
        f'<div class="bc-links"><a class="bc-button" download="{text(name)}" '
        f'href="data:application/toml;base64,{coded}">Save {text(name)}</a></div>'
        f'<pre class="bc-file-words" tabindex="0" aria-label="{text(name)}">{text(contents)}</pre>'
    )


def not_written(why: str) -> str:
    """Markup of a refusal to write."""
    return f'<p class="bc-refusal" role="alert"><strong>Not written.</strong> {sentence(why)}</p>'
