"""A change in words."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Worded:
    """A change in words.

    Attributes
    ----------
    needs
        What would have to be told for a number, as a sentence; else empty.
    look_first
        What to look at before the number is trusted, as a sentence; else empty.
    """

    change: str
    needs: str = ""
    look_first: str = ""


def span_words(first: float, last: float, unit: str, decimals: int = 0) -> str:
    """Two numbers as a span, or one where they round to the same.

    Examples
    --------
    >>> span_words(95.0, 100.0, "A")
    '95 to 100 A'
    >>> span_words(95.1, 95.2, "A")
    '95 A'
    """
    low, high = f"{first:.{decimals}f}", f"{last:.{decimals}f}"
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"
