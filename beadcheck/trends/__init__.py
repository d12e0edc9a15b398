"""Trends: what the logged welds of a person, or of a class, say together."""

from beadcheck.trends.bounds_of import bounds_of
from beadcheck.trends.chart import trend_chart
from beadcheck.trends.last_run import LastRun, ValueChange, last_run_of, since_last_run
from beadcheck.trends.last_run_wording import last_run_lines
from beadcheck.trends.look_up import (
    ClassLooked,
    PersonLooked,
    look_up_class,
    look_up_person,
    person_lines,
)
from beadcheck.trends.of_class import Member, Week, of_class, weeks_of
from beadcheck.trends.points import Grouping, Points, points_of
from beadcheck.trends.settings_change import (
    SettingChange,
    SettingsChange,
    last_settings_change,
)
from beadcheck.trends.study_chart import study_chart
from beadcheck.trends.trend import Bounds, Trend, round_the_clock, trend_of
from beadcheck.trends.within import WithinWelds, WorstPlace, strays, within_welds, worst_place
from beadcheck.trends.within_chart import within_chart
from beadcheck.trends.within_wording import class_within_lines, within_lines
from beadcheck.trends.wording import (
    change_words,
    clock_lines,
    day_words,
    subject_words,
    trend_lines,
)

__all__ = [
    "Bounds",
    "ClassLooked",
    "Grouping",
    "LastRun",
    "Member",
    "PersonLooked",
    "Points",
    "SettingChange",
    "SettingsChange",
    "Trend",
    "ValueChange",
    "Week",
    "WithinWelds",
    "WorstPlace",
    "bounds_of",
    "change_words",
    "class_within_lines",
    "clock_lines",
    "day_words",
    "last_run_lines",
    "last_run_of",
    "last_settings_change",
    "look_up_class",
    "look_up_person",
    "of_class",
    "person_lines",
    "points_of",
    "round_the_clock",
    "since_last_run",
    "strays",
    "study_chart",
    "subject_words",
    "trend_chart",
    "trend_lines",
    "trend_of",
    "weeks_of",
    "within_chart",
    "within_lines",
    "within_welds",
    "worst_place",
]
