"""Ticks and check bars, in mm and inches."""

from dataclasses import dataclass
from typing import Final

from beadcheck.target.ink import HAIRLINE_MM, Anchor, Box, Ink, Words, line
from beadcheck.units import MM_PER_INCH

BAR_MM: Final = 0.8
"""Thickness of a check bar."""
_NUMBER_PT: Final = 5.0
_EIGHTHS_PER_INCH: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class TickLengths:
    """Lengths of ticks: of every unit, every fifth (or half inch), every tenth (or inch)."""

    short_mm: float
    middle_mm: float
    long_mm: float

    def of(self, place: int, *, middle: int, long: int) -> float:
        """Length of the tick at a place."""
        if place % long == 0:
            return self.long_mm
        return self.middle_mm if place % middle == 0 else self.short_mm


BAR_TICKS: Final = TickLengths(short_mm=1.0, middle_mm=1.6, long_mm=2.2)
EDGE_TICKS: Final = TickLengths(short_mm=0.7, middle_mm=1.2, long_mm=1.8)


def edge_ticks(start_mm: tuple[float, float], length_mm: int, *, upward: bool) -> list[Ink]:
    """Ticks every millimetre along a level edge, standing on it or hanging from it."""
    x_mm, y_mm = start_mm
    sign = -1.0 if upward else 1.0
    return [
        line(
            (x_mm + k, y_mm),
            (x_mm + k, y_mm + sign * EDGE_TICKS.of(k, middle=5, long=10)),
            width_mm=HAIRLINE_MM,
        )
        for k in range(length_mm + 1)
    ]


def level_bar(x_mm: float, y_mm: float, length_mm: int) -> list[Ink]:
    """Level check bar: its two ends are what is measured; mm ticks above it, inch ticks below.

    The bar's axis lies at `y_mm`. No tick stands at its very ends, so that they stay clean.
    """
    half = 0.5 * BAR_MM
    ink: list[Ink] = [Box(x_mm=x_mm, y_mm=y_mm - half, width_mm=length_mm, height_mm=BAR_MM)]
    for k in range(1, length_mm):
        top_mm = y_mm - half - BAR_TICKS.of(k, middle=5, long=10)
        ink.append(line((x_mm + k, y_mm - half), (x_mm + k, top_mm), width_mm=HAIRLINE_MM))
    base_mm = y_mm - half - BAR_TICKS.long_mm - 0.5
    ink += [_number(str(k), x_mm + k, base_mm) for k in range(0, length_mm + 1, 10)]
    for k, place_mm in _eighths(length_mm):
        end_mm = y_mm + half + BAR_TICKS.of(k, middle=4, long=8)
        ink.append(
            line((x_mm + place_mm, y_mm + half), (x_mm + place_mm, end_mm), width_mm=HAIRLINE_MM)
        )
        if k % _EIGHTHS_PER_INCH == 0:
            inch = _number(f"{k // _EIGHTHS_PER_INCH} in", x_mm + place_mm, end_mm + 1.8)
            ink.append(inch)
    return ink


def upright_bar(x_mm: float, y_mm: float, length_mm: int) -> list[Ink]:
    """Upright check bar, its lower end at `y_mm`; mm ticks to its right, inch ticks to its left."""
    half = 0.5 * BAR_MM
    ink: list[Ink] = [
        Box(x_mm=x_mm - half, y_mm=y_mm - length_mm, width_mm=BAR_MM, height_mm=length_mm)
    ]
    for k in range(1, length_mm):
        end_mm = x_mm + half + BAR_TICKS.of(k, middle=5, long=10)
        ink.append(line((x_mm + half, y_mm - k), (end_mm, y_mm - k), width_mm=HAIRLINE_MM))
    base_mm = x_mm + half + BAR_TICKS.long_mm + 1.7
    ink += [_number(str(k), base_mm, y_mm - k, upward=True) for k in range(0, length_mm + 1, 10)]
    for k, place_mm in _eighths(length_mm):
        end_mm = x_mm - half - BAR_TICKS.of(k, middle=4, long=8)
        ink.append(
            line((end_mm, y_mm - place_mm), (x_mm - half, y_mm - place_mm), width_mm=HAIRLINE_MM)
        )
        if k % _EIGHTHS_PER_INCH == 0:
            inch = _number(
                f"{k // _EIGHTHS_PER_INCH} in", end_mm - 0.5, y_mm - place_mm, upward=True
            )
            ink.append(inch)
    return ink


def _eighths(length_mm: float) -> list[tuple[int, float]]:
    """Every eighth of an inch inside a length: its count and its place."""
    step_mm = MM_PER_INCH / _EIGHTHS_PER_INCH
    return [(k, k * step_mm) for k in range(1, int(length_mm / step_mm) + 1)]


def _number(text: str, x_mm: float, y_mm: float, *, upward: bool = False) -> Words:
    return Words(
        text=text, x_mm=x_mm, y_mm=y_mm, size_pt=_NUMBER_PT, anchor=Anchor.MIDDLE, upward=upward
    )
