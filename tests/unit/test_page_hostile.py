"""Nothing that a browser can send, in any field, stops a handler of the page."""

import asyncio
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from inspect import signature
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import gradio as gr
import orjson
import pytest
from gradio.blocks import Block, BlockFunction
from gradio.context import LocalContext
from hypothesis import given, settings
from hypothesis import strategies as st

from beadcheck.coupon import WeldPass
from beadcheck.errors import BeadcheckError
from beadcheck_page.bench import Bench
from beadcheck_page.entries import ENTRY_NAMES, Entries, showable
from beadcheck_page.form_so_far import converted, entered_diameter_mm, entered_unit
from beadcheck_page.guard import COOKIE
from beadcheck_page.limit_choices import offered_limits
from beadcheck_page.lookout import Lookout
from beadcheck_page.page import build_page
from beadcheck_page.understanding import coupon_of_target, understood
from beadcheck_page.visits import Visits

LIMITS = offered_limits()
USUAL = (
    Entries(),
    Entries(
        unit="inch",
        shape="pipe",
        pipe_size="NPS 8",
        schedule="60",
        process="gtaw-pulsed",
        weld_pass=WeldPass.CAP.value,
        position="6G",
        progression="up",
        limits_of="ASME",
        limits="asme-b31-3-normal",
        peak_current=120,
        background_current=30,
        background_in="%",
        volts=11.0,
        lowest_current=90,
        highest_current=140,
        peak_s=0.5,
        background_s=0.5,
        times_are="seconds",
        wanted_overlap=60,
        run_length=6.0,
        arc_time=60,
    ),
)
"""Forms in which every field counts, so that a value is not passed over."""
WORDS = ("", "-", "pipe", "inch", "NPS 8", "60", "gtaw-pulsed", "ASME", "\ud800", "\x00", "x" * 90)
LEAVES = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.sampled_from([10**400, -(10**400), 10**20])
    | st.floats()
    | st.text(max_size=4)
    | st.sampled_from(WORDS)
)
JSON = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner, max_size=2)
    ),
    max_leaves=4,
)


def said_by(call: Callable[[], object]) -> str:
    """Refusal that a call ends in; empty where it ends well. All else stops the test."""
    try:
        call()
    except BeadcheckError as refusal:
        return str(refusal)
    return ""


class Page:
    """A page with one visitor, and its handlers as they are before any refusal is caught."""

    def __init__(self, folder: Path) -> None:
        self.bench, self.lookout = Bench(lambda *_: None), Lookout()  # type: ignore[arg-type,return-value]
        self.visits = Visits(folder, self.bench)
        self.blocks = build_page(self.visits, self.lookout, limits=LIMITS)
        cookie = {"cookie": f"{COOKIE}={self.visits.begin()}"}
        self.request = SimpleNamespace(headers=cookie)
        self.functions = [each for each in self.blocks.fns.values() if each.fn is not None]

    def call(self, function: BlockFunction, entries: Entries, rest: object) -> None:
        """Press with these entries, and with this in every other part that is sent along."""
        sent = dict(zip(ENTRY_NAMES, entries.values(), strict=True))
        values: list[Any] = [sent.get(str(each.elem_id), rest) for each in function.inputs]
        handler: Any = function.fn
        if "request" in signature(handler.__wrapped__).parameters:
            values.insert(0, self.request)
        # So Gradio knows a component that a handler returns for a change, not for a new one.
        here = LocalContext.in_event_listener.set(True)
        answers: list[dict[Block, object]] = []
        said = said_by(lambda: answers.append(handler.__wrapped__(handler.__self__, *values)))
        answer = answers[0] if answers else handler(*values)
        LocalContext.in_event_listener.reset(here)
        assert "\n" not in said
        assert set(answer) <= set(function.outputs)
        for block, value in answer.items():
            assert sent_by_gradio(block, value)


def sent_by_gradio(block: Block, value: object) -> bytes:
    """What goes out for one part of the page; all that cannot be sent is a fault."""
    said = value.constructor_args.get("value") if isinstance(value, Block) else value
    return orjson.dumps(block.postprocess(said) if isinstance(block, gr.Number) else said)


async def page_in(folder: Path) -> Page:
    return Page(folder)


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("visits")
        patch.setenv("BEADCHECK_LOG", str(folder / "log.sqlite3"))
        patch.setenv("GRADIO_TEMP_DIR", str(folder / "gradio"))
        # Without a running loop Gradio makes one for each lock, and closes none; and in this thread
        # a browser's loop may be running.
        with ThreadPoolExecutor(1) as pool:
            made = pool.submit(asyncio.run, page_in(folder)).result()
        yield made
        made.bench.close()
        made.lookout.close()


@st.composite
def forms(draw: st.DrawFn) -> Entries:
    """One of the usual forms, with one value or several that no field sends."""
    wrong = draw(st.lists(st.sampled_from(ENTRY_NAMES), min_size=1, max_size=3, unique=True))
    return replace(draw(st.sampled_from(USUAL)), **{name: draw(JSON) for name in wrong})


@given(entries=forms(), rest=JSON)
@settings(max_examples=15, deadline=None)
def test_no_value_in_any_field_stops_a_handler(
    opened: Page, entries: Entries, rest: object
) -> None:
    for function in opened.functions:
        opened.call(function, entries, rest)


@given(entries=forms())
@settings(max_examples=300, deadline=None)
def test_every_form_is_understood_or_refused_in_one_sentence(entries: Entries) -> None:
    for understand in (
        lambda: understood(entries, limit_names=LIMITS.names),
        lambda: coupon_of_target(entries),
        lambda: entered_diameter_mm(entries),
    ):
        assert "\n" not in said_by(understand)
    unit = entered_unit(entries)
    for value in entries.values():
        number = converted(value, unit)
        assert number is None or isinstance(number, float)


@given(value=JSON)
def test_what_is_shown_again_after_a_reload_is_what_a_field_can_hold(value: object) -> None:
    shown = showable(value)
    assert shown is None or isinstance(shown, str | float | bool)
    # Answers go out as UTF-8.
    str(shown).encode("utf-8")


@pytest.mark.parametrize("value", [["-"], [], {"a": 1}, 10**400, True, 0.5, "\ud800", None])
def test_each_field_alone_may_hold_any_kind_of_value(opened: Page, value: object) -> None:
    (changed,) = {each for each in opened.functions if each.api_name == "form_changed"}
    for name in ENTRY_NAMES:
        opened.call(changed, replace(USUAL[1], **{name: value}), None)
