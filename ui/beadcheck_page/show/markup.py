"""The few pieces that every part of the markup uses."""

from collections.abc import Iterable
from html import escape


def text(raw: object) -> str:
    """Text as markup.

    Examples
    --------
    >>> text('<b>"cap"</b>')
    '&lt;b&gt;&quot;cap&quot;&lt;/b&gt;'
    """
    return escape(str(raw), quote=True)


def sentence(raw: str) -> str:
    """Words as a sentence of their own: a capital first, a full stop last; as markup.

    Examples
    --------
    >>> sentence("weld width, mean")
    'Weld width, mean.'
    """
    words = raw.strip()
    if not words:
        return ""
    return text(words[0].upper() + words[1:] + ("" if words[-1] in ".!?:" else "."))


def capital(raw: str) -> str:
    """Words with a capital first; as markup.

    Examples
    --------
    >>> capital("ripple spacing")
    'Ripple spacing'
    """
    return text(raw[:1].upper() + raw[1:])


def listed(words: Iterable[str]) -> str:
    """Join words as a list in a sentence; plain text.

    Examples
    --------
    >>> listed(["weld width", "toe waviness", "ripple spacing"])
    'weld width, toe waviness and ripple spacing'
    """
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def points(lines: Iterable[str]) -> str:
    """Markup of sentences as a list; one that ends with a colon leads those after it.

    Examples
    --------
    >>> points(["it rose", "since then:", "it fell"])  # doctest: +NORMALIZE_WHITESPACE
    '<ul class="bc-steady"><li>It rose.</li></ul><p>Since then:</p><ul
    class="bc-steady"><li>It fell.</li></ul>'
    """
    groups: list[tuple[str, list[str]]] = [("", [])]
    for line in lines:
        if line.endswith(":"):
            groups.append((line, []))
        else:
            groups[-1][1].append(line)
    return "".join(_group(lead, below) for lead, below in groups)


def _group(lead: str, below: list[str]) -> str:
    listed_below = "".join(f"<li>{sentence(each)}</li>" for each in below)
    return (f"<p>{sentence(lead)}</p>" if lead else "") + (
        f'<ul class="bc-steady">{listed_below}</ul>' if listed_below else ""
    )


def unbroken(value: str) -> str:
    """Markup of a value that breaks nowhere but before its inches.

    Examples
    --------
    >>> unbroken("9.9 ± 0.2 mm (0.39 in)")
    '<span class="bc-unbroken">9.9 ± 0.2 mm</span> <span class="bc-unbroken">(0.39 in)</span>'
    """
    parts = value.replace(" (", "\n(").split("\n")
    return " ".join(f'<span class="bc-unbroken">{part}</span>' for part in parts)
