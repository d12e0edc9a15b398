"""The crossed gauge study: repeatability, reproducibility, and photo against hand gauge."""

from beadcheck.gauge_study.against_gauge import (
    FEWEST_PLACES,
    Agreement,
    GaugedPlaces,
    against_gauge,
    gauged_places,
)
from beadcheck.gauge_study.crossed import (
    Effect,
    GaugeStudy,
    UnbalancedStudyError,
    crossed_study,
)
from beadcheck.gauge_study.readings import CrossedReadings, StudyReading, crossed
from beadcheck.gauge_study.readings_csv import readings_csv
from beadcheck.gauge_study.study_csv import StudyLine, form_csv, read_study

__all__ = [
    "FEWEST_PLACES",
    "Agreement",
    "CrossedReadings",
    "Effect",
    "GaugeStudy",
    "GaugedPlaces",
    "StudyLine",
    "StudyReading",
    "UnbalancedStudyError",
    "against_gauge",
    "crossed",
    "crossed_study",
    "form_csv",
    "gauged_places",
    "read_study",
    "readings_csv",
]
