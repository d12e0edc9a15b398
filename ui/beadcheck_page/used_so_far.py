"""What the page says of the settings while they are being entered."""

from collections.abc import Sequence
from typing import Final

import gradio as gr

from beadcheck.errors import BeadcheckError
from beadcheck.report.entered import coupon_words, settings_words
from beadcheck.report.in_inches import in_unit
from beadcheck.result import coupon_record, settings_record
from beadcheck_page import show
from beadcheck_page.arc_entries import asked_of_times
from beadcheck_page.entries import Entries, is_short_text
from beadcheck_page.form_so_far import entered_unit, shown
from beadcheck_page.parts import Parts, Updates
from beadcheck_page.understanding import understood
from beadcheck_page.visits import Visit

COUPON_LABEL: Final = "Coupon and pass"
USED_LABEL: Final = "Settings used"


def settings_updates(parts: Parts, visit: Visit, limit_names: Sequence[str]) -> Updates:
    """Question on the pulse times, its answer as far as it still holds, and the part's label."""
    answer = visit.entries.times_are
    _, label = part_labels(visit.entries, limit_names)
    return {
        **question_update(parts, visit),
        parts.fields.used.times_are: gr.Radio(
            value=answer if is_short_text(answer) else None,
            visible=shown(asked_of_times(visit.entries, None)),
        ),
        parts.used: show.plain(label),
    }


def question_update(parts: Parts, visit: Visit) -> Updates:
    """Ask what the pulse times count; ripples that were measured tell what would follow."""
    outcome = visit.outcome
    asked = asked_of_times(visit.entries, None if outcome is None else outcome.result)
    words = in_unit(asked, entered_unit(visit.entries))
    return {parts.question: gr.HTML(show.question(words), visible=shown(asked))}


def part_labels(entries: Entries, limit_names: Sequence[str]) -> tuple[str, str]:
    """What the folded parts on the coupon and on the settings hold, as far as it makes sense."""
    try:
        told = understood(entries, limit_names=limit_names)
    except BeadcheckError:
        return COUPON_LABEL, USED_LABEL
    coupon = coupon_record(told.coupon)
    settings = settings_record(told.arc, told.coupon, told.allowed)
    used = settings_words(settings, coupon, told.unit)
    return (
        f"{COUPON_LABEL}: {coupon_words(coupon, told.unit)}",
        f"{USED_LABEL}: {used}" if used else USED_LABEL,
    )
