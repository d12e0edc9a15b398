"""Trends: what the logged welds of a person, or of a class, say together."""

from beadcheck.trends.bounds_of import bounds_of
from beadcheck.trends.chart import trend_chart
from beadcheck.trends.of_class import Member, of_class
from beadcheck.trends.settings_change import (
    SettingChange,
    SettingsChange,
    last_settings_change,
)
from beadcheck.trends.study_chart import study_chart
from beadcheck.trends.trend import Bounds, Trend, round_the_clock, trend_of
from beadcheck.trends.wording import (
    change_words,
    clock_lines,
    day_words,
    subject_words,
    trend_lines,
)

__all__ = [
    "Bounds",
    "Member",
    "SettingChange",
    "SettingsChange",
    "Trend",
    "bounds_of",
    "change_words",
    "clock_lines",
    "day_words",
    "last_settings_change",
    "of_class",
    "round_the_clock",
    "study_chart",
    "subject_words",
    "trend_chart",
    "trend_lines",
    "trend_of",
]
