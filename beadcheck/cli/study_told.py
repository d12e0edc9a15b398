"""What a list of readings tells: a crossed study, or photo against hand gauge alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from beadcheck.cli.repeat_shown import gauge_alone_words, study_words
from beadcheck.errors.gauge_study import StudyTooSmallError, StudyUnevenError
from beadcheck.gauge_study import (
    StudyReading,
    against_gauge,
    crossed,
    crossed_study,
    gauged_places,
)
from beadcheck.trends import study_chart
from beadcheck.trends.agreement_chart import agreement_chart

CHART_WIDTH_IN: Final = 5.6


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyTold:
    """Words to print, and a plot that is drawn once it is wanted."""

    words: str
    chart: Callable[[Literal["svg", "png"]], bytes]


def study_told(
    readings: Sequence[StudyReading], *, tolerance: float | None, subject: str, unit: str
) -> StudyTold:
    """Study the readings; where they are no crossed study, compare photo and gauge alone.

    Raises
    ------
    StudyTooSmallError, StudyUnevenError
        They are no crossed study, and fewer than three parts have a gauge reading.
    """
    agreement = against_gauge(readings)
    try:
        block = crossed(readings)
    except (StudyTooSmallError, StudyUnevenError) as refusal:
        if agreement is None:
            raise
        return StudyTold(
            words=gauge_alone_words(agreement, str(refusal), unit=unit),
            chart=lambda form: agreement_chart(
                gauged_places(readings),
                agreement,
                subject=subject,
                unit=unit,
                width_in=CHART_WIDTH_IN,
                form=form,
            ),
        )
    found = crossed_study(block.values, tolerance=tolerance)
    return StudyTold(
        words=study_words(block, found, readings, unit=unit),
        chart=lambda form: study_chart(block, found, subject=f"{subject}, {unit}", form=form),
    )
