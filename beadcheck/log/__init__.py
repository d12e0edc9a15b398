"""The log: every measurement that was saved, with its photos, in SQLite or PostgreSQL.

`open_log` gives a `Log`, which the other functions take first. Nothing is ever overwritten.
"""

from beadcheck.log.address import LogAddress, log_address
from beadcheck.log.backup import BackedUp, back_up
from beadcheck.log.class_list import ClassList, LeftOut, read_class_list
from beadcheck.log.class_values import ClassValues, class_values
from beadcheck.log.entry import (
    Corrected,
    Correction,
    Entry,
    KeptCorrection,
    KeptPhoto,
    Logged,
    Measurement,
    NewPerson,
    Person,
    Run,
    Saved,
    Selection,
)
from beadcheck.log.export import csv_lines, json_lines
from beadcheck.log.find import each_document, measurement_of, measurements, run_before
from beadcheck.log.forget import Forgotten, forget_person
from beadcheck.log.names import UNNAMED_RUN, coupon_of_now, key_of, run_called
from beadcheck.log.newest import Headline, LoggedLine, LoggedPage, newest
from beadcheck.log.open import Log, open_log
from beadcheck.log.people import AddedPeople, add_people, people
from beadcheck.log.restore import Restored, restore
from beadcheck.log.right_names import correct_names
from beadcheck.log.save import save
from beadcheck.log.summary import (
    SettingOf,
    SummaryRow,
    Wanted,
    settings_of,
    summary_rows,
    summary_rows_of,
)
from beadcheck.log.widths import WidthAt, widths_along

__all__ = [
    "UNNAMED_RUN",
    "AddedPeople",
    "BackedUp",
    "ClassList",
    "ClassValues",
    "Corrected",
    "Correction",
    "Entry",
    "Forgotten",
    "Headline",
    "KeptCorrection",
    "KeptPhoto",
    "LeftOut",
    "Log",
    "LogAddress",
    "Logged",
    "LoggedLine",
    "LoggedPage",
    "Measurement",
    "NewPerson",
    "Person",
    "Restored",
    "Run",
    "Saved",
    "Selection",
    "SettingOf",
    "SummaryRow",
    "Wanted",
    "WidthAt",
    "add_people",
    "back_up",
    "class_values",
    "correct_names",
    "coupon_of_now",
    "csv_lines",
    "each_document",
    "forget_person",
    "json_lines",
    "key_of",
    "log_address",
    "measurement_of",
    "measurements",
    "newest",
    "open_log",
    "people",
    "read_class_list",
    "restore",
    "run_before",
    "run_called",
    "save",
    "settings_of",
    "summary_rows",
    "summary_rows_of",
    "widths_along",
]
