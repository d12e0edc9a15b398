"""The form while it is being filled in."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import gradio as gr
from gradio.context import LocalContext

from beadcheck.coupon import WeldPass
from beadcheck_page.controls import (
    calibrated_field,
    coupon_fields,
    no_target_field,
    unit_field,
)
from beadcheck_page.entries import ENTRY_NAMES, Entries
from beadcheck_page.form_so_far import changed_fields
from beadcheck_page.limit_choices import offered_limits
from beadcheck_page.settings_controls import settings_fields

LIMITS = offered_limits()


PLATE = Entries()
CAPPED = replace(PLATE, weld_pass=WeldPass.CAP.value)
NUMBERED = replace(CAPPED, layer=4.0, bead=2.0, outside_diameter=60.3)


async def told_of(before: Entries, entries: Entries) -> set[str]:
    """Name the fields that an answer to this change would touch."""
    with gr.Blocks():
        used = settings_fields(gr.HTML(render=False))
        switches = unit_field(), no_target_field(), calibrated_field()
        fields = coupon_fields(*switches, used, limit_choices=LIMITS)
    # So Gradio knows a component that a handler returns for a change, not for a new one.
    LocalContext.in_event_listener.set(True)
    told = changed_fields(fields, before, entries, LIMITS)
    return {name for name, field in zip(ENTRY_NAMES, fields, strict=True) if field in told}


def touched(before: Entries, entries: Entries) -> set[str]:
    # Without a running loop Gradio makes one for each lock, and closes none.
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, told_of(before, entries)).result()


def test_a_change_touches_only_the_fields_that_it_concerns() -> None:
    assert touched(CAPPED, NUMBERED) == set()
    told = touched(PLATE, CAPPED)
    assert "groove_width" in told
    assert not {"outside_diameter", "check_bar", "unit"} & told
