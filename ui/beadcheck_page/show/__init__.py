"""Markup of the page's own parts; whatever came from a person or a file is escaped here."""

from beadcheck_page.show.correcting import correcting_boards
from beadcheck_page.show.device import remembered_here
from beadcheck_page.show.gauge import (
    compared,
    gauge_help,
    gauge_rows,
    gauge_typed,
    not_compared,
    nothing_to_gauge,
)
from beadcheck_page.show.joint import coupon_file, filled_in, not_filled_in, not_written
from beadcheck_page.show.keeping import keep_help, kept, not_kept
from beadcheck_page.show.limits import limits_asked, limits_compared, limits_not_shown
from beadcheck_page.show.logged import (
    log_chosen,
    log_list,
    names_help,
    names_put_right,
    not_put_right,
)
from beadcheck_page.show.markup import text as plain
from beadcheck_page.show.photos import Tray, further_photos, photo_list
from beadcheck_page.show.pointing import pointing_picture
from beadcheck_page.show.results import results
from beadcheck_page.show.settings import question
from beadcheck_page.show.status import refusal, status
from beadcheck_page.show.steadiness import (
    choose_somebody,
    not_shown,
    steadiness,
    who_reads_the_log,
)
from beadcheck_page.show.targets import target_links
from beadcheck_page.show.ways import asked_ways
from beadcheck_page.show.worked import NOTHING_ENTERED, not_worked_out, worked_out_answers

__all__ = [
    "NOTHING_ENTERED",
    "Tray",
    "asked_ways",
    "choose_somebody",
    "compared",
    "correcting_boards",
    "coupon_file",
    "filled_in",
    "further_photos",
    "gauge_help",
    "gauge_rows",
    "gauge_typed",
    "keep_help",
    "kept",
    "limits_asked",
    "limits_compared",
    "limits_not_shown",
    "log_chosen",
    "log_list",
    "names_help",
    "names_put_right",
    "not_compared",
    "not_filled_in",
    "not_kept",
    "not_put_right",
    "not_shown",
    "not_worked_out",
    "not_written",
    "nothing_to_gauge",
    "photo_list",
    "plain",
    "pointing_picture",
    "question",
    "refusal",
    "remembered_here",
    "results",
    "status",
    "steadiness",
    "target_links",
    "who_reads_the_log",
    "worked_out_answers",
]
