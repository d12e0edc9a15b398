"""A coupon file that was written, and what came of one that was read."""

from base64 import b64encode
from typing import TYPE_CHECKING

from beadcheck_page.show.markup import sentence, text

if TYPE_CHECKING:
    from beadcheck_page.coupon_in import FilledIn
    from beadcheck_page.coupon_out import SavedFile


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


def coupon_file(written: "SavedFile", toes: "SavedFile | None", *, photos: bool) -> str:
    """Markup of a coupon file: where to put it, its words, and links that save it.

    Parameters
    ----------
    toes
        File of the toes that were placed by hand, which it names.
    """
    name = text(written.name)
    beside = (
        "Save it beside the photos that it names; files that were called otherwise when they were "
        "sent have to be renamed."
        if photos
        else "It names no photo yet: add them first, or write them in by hand."
    )
    by_hand, links = "", _link(written, "application/toml")
    if toes is not None:
        by_hand = " The toes that were placed by hand are a second file, to be saved beside it."
        links += _link(toes, "text/csv")
    return (
        f'<p>{beside}{by_hand} Then: <code>beadcheck measure "{name}"</code></p>'
        f'<div class="bc-links">{links}</div>'
        f'<pre class="bc-file-words" tabindex="0" aria-label="{name}">'
        f"{text(written.contents)}</pre>"
    )


def _link(file: "SavedFile", kind: str) -> str:
    coded = b64encode(file.contents.encode()).decode("ascii")
    name = text(file.name)
    return (
        f'<a class="bc-button" download="{name}" href="data:{kind};base64,{coded}">Save {name}</a>'
    )


def not_written(why: str) -> str:
    """Markup of a refusal to write."""
    return f'<p class="bc-refusal" role="alert"><strong>Not written.</strong> {sentence(why)}</p>'
