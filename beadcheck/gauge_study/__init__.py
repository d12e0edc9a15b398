"""The crossed gauge study: repeatability, reproducibility, and photo against hand gauge."""

from beadcheck.gauge_study.against_gauge import Agreement, against_gauge
from beadcheck.gauge_study.crossed import (
    Effect,
    GaugeStudy,
    UnbalancedStudyError,
    crossed_study,
)
from beadcheck.gauge_study.readings import CrossedReadings, StudyReading, crossed
from beadcheck.gauge_study.study_csv import StudyLine, form_csv, read_study

__all__ = [
    "Agreement",
    "CrossedReadings",
    "Effect",
    "GaugeStudy",
    "StudyLine",
    "StudyReading",
    "UnbalancedStudyError",
    "against_gauge",
    "crossed",
    "crossed_study",
    "form_csv",
    "read_study",
]
