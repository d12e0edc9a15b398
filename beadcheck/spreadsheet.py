"""Cells of tables for spreadsheets."""

from typing import Final

FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r")
"""Cells that begin so are run as formulas by spreadsheets."""


def number(value: float | None, decimals: int) -> str:
    """Value rounded; an empty cell where it is missing."""
    return "" if value is None else f"{value:.{decimals}f}"


def guarded(text: str) -> str:
    """Text that a spreadsheet shows, not runs: an apostrophe goes before a formula's start."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
