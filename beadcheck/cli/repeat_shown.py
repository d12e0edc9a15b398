"""What ``beadcheck repeat`` prints."""

from collections.abc import Sequence
from typing import Final

from rich import box
from rich.console import Group
from rich.table import Table

from beadcheck.cli.streams import shown
from beadcheck.gauge_study import (
    Agreement,
    CrossedReadings,
    GaugeStudy,
    StudyReading,
    against_gauge,
)

GOOD_PERCENT: Final = 10.0
POOR_PERCENT: Final = 30.0
FEWEST_CATEGORIES: Final = 5
"""AIAG MSA, 4th edition: acceptable below 10 %, not above 30 %; five categories or more."""
LEAST_SHOWN: Final = 0.001
"""A smaller chance is told as being below this."""


def study_words(
    block: CrossedReadings,
    study: GaugeStudy,
    readings: Sequence[StudyReading],
    *,
    unit: str,
) -> str:
    """Tables of variance and of spreads, what they are worth, and photo against gauge."""
    parts, people, trials = block.values.shape
    lines = [f"{parts} parts, {people} people or phones, {trials} readings each."]
    tables = shown(Group(_variance_table(study), _spread_table(study, unit)))
    lines += [tables.rstrip("\n"), *_verdict(study)]
    agreement = against_gauge(readings)
    if agreement is not None:
        lines.append(agreement_words(agreement, unit=unit))
    lines.append(
        "For beadcheck trend: --repeatability "
        f"{study.equipment_variation:.4g}. The final judgement is a qualified inspector's."
    )
    return "\n".join(lines)


def agreement_words(agreement: Agreement, *, unit: str) -> str:
    """How photo and hand gauge differ, on average and at a single place."""
    found = (
        "they differ by more than chance" if agreement.differs else "no difference beyond chance"
    )
    return (
        f"Photo less hand gauge at {agreement.places} parts: "
        f"{agreement.mean_difference:+.3f} ± {agreement.u_mean_difference:.3f} {unit} "
        f"in the mean ({found}); single parts between {agreement.lower:+.3f} and "
        f"{agreement.upper:+.3f} {unit} (95 %; Bland and Altman), each of these limits "
        f"± {agreement.u_limits:.3f} {unit}."
    )


def gauge_alone_words(agreement: Agreement, why: str, *, unit: str) -> str:
    """What a list tells that compares photo and gauge, and is no crossed study."""
    return "\n".join(
        (
            agreement_words(agreement, unit=unit),
            f"Repeatability is not told apart: {why}",
            "The final judgement is a qualified inspector's.",
        )
    )


def _variance_table(study: GaugeStudy) -> Table:
    table = Table(box=box.SIMPLE_HEAD)
    for heading in ("source", "degrees of freedom", "sum of squares", "mean square", "F", "p"):
        table.add_column(heading, justify="left" if heading == "source" else "right")
    for effect in study.effects:
        table.add_row(
            effect.source,
            str(effect.degrees_of_freedom),
            f"{effect.sum_of_squares:.5g}",
            f"{effect.mean_square:.5g}",
            "" if effect.f_ratio is None else f"{effect.f_ratio:.3f}",
            "" if effect.p_value is None else _chance_words(effect.p_value),
        )
    return table


def _spread_table(study: GaugeStudy, unit: str) -> Table:
    rows = (
        ("repeatability (one person again)", study.equipment_variation),
        ("reproducibility (people, phones)", study.reproducibility),
        ("both: the gauge", study.gauge),
        ("the parts", study.part_variation),
        ("in all", study.total_variation),
    )
    table = Table(box=box.SIMPLE_HEAD)
    for heading in ("spread", f"standard deviation, {unit}", "of all", "of the tolerance"):
        table.add_column(heading, justify="left" if heading == "spread" else "right")
    for name, spread in rows:
        of_tolerance = (
            "" if study.tolerance is None else f"{600.0 * spread / study.tolerance:.1f} %"
        )
        share = f"{100.0 * spread / study.total_variation:.1f} %" if study.total_variation else ""
        table.add_row(name, f"{spread:.4g}", share, of_tolerance)
    return table


def _verdict(study: GaugeStudy) -> list[str]:
    lines = []
    if study.pooled:
        lines.append("People do not differ from part to part: that part counts as repeatability.")
    categories = study.distinct_categories
    if categories is not None:
        enough = "enough" if categories >= FEWEST_CATEGORIES else "five or more are wanted"
        lines.append(f"The gauge tells {categories} groups of parts apart ({enough}).")
    percent = study.percent_of_tolerance
    against = "the tolerance"
    if percent is None and study.total_variation > 0.0:
        percent, against = study.percent_of_study, "the total spread"
    if percent is not None:
        worth = (
            "generally acceptable"
            if percent < GOOD_PERCENT
            else "not acceptable"
            if percent > POOR_PERCENT
            else "may do, by what hangs on it"
        )
        lines.append(f"The gauge takes {percent:.1f} % of {against}: {worth} (AIAG).")
    return lines


def _chance_words(p_value: float) -> str:
    return f"{p_value:.3f}" if p_value >= LEAST_SHOWN else f"< {LEAST_SHOWN:g}"
