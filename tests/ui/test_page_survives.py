"""A result is not lost with the connection, the page or the patience of its reader."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from .conftest import Visit, choose, measure, reload
from .proxy import CuttableProxy


@pytest.fixture
def network(port: int) -> Iterator[CuttableProxy]:
    proxy = CuttableProxy(port)
    yield proxy
    proxy.close()


def test_a_result_comes_back_after_the_connection_was_cut(
    visit: Visit, network: CuttableProxy, weld: Path
) -> None:
    page = visit(base=f"http://127.0.0.1:{network.port}/", faults=True)
    choose(page, weld)
    page.locator("#measure").click()
    page.locator("progress").wait_for()
    network.cut(seconds=3.0)
    page.locator("[data-result]").wait_for(timeout=60_000)
    expect(page.locator("#tray .bc-photos > li")).to_have_count(1)


def test_a_cut_while_a_photo_is_sent_gives_a_sentence(
    visit: Visit, network: CuttableProxy, weld: Path
) -> None:
    page = visit(base=f"http://127.0.0.1:{network.port}/", faults=True)
    network.cut(seconds=2.0)
    page.get_by_label("Choose photos").set_input_files(weld)
    expect(page.locator(".bc-unsent li")).to_have_text(
        "cap 7.jpg did not get through: the connection was lost. Send it again."
    )


def test_a_reload_brings_back_photos_entries_and_result(visit: Visit, weld: Path) -> None:
    page = visit()
    page.locator("#coupon button").click()
    page.locator("#wall_thickness input").fill("6.3")
    choose(page, weld)
    measure(page)
    shown = page.locator("[data-result]").get_attribute("data-result")
    reload(page)
    page.locator(f"[data-result='{shown}']").wait_for()
    expect(page.locator("#tray .bc-photos > li")).to_have_count(1)
    page.locator("#coupon button").click()
    expect(page.locator("#wall_thickness input")).to_have_value("6.3")


HOLD_THE_GOODBYE = """
const ask = window.fetch;
let joined = () => {};
window.crossed = 0;
window.fetch = async (...asked) => {
  const reply = await ask(...asked);
  if (reply.url.includes("/queue/join")) setTimeout(joined, 50);
  if (!reply.url.includes("/queue/data")) return reply;
  const hold = async (text, out) => {
    const at = text.indexOf('data: {"msg":"close_stream"');
    if (at < 0) return out.enqueue(text);
    out.enqueue(text.slice(0, at));
    await new Promise((done) => (joined = done));
    window.crossed += 1;
    out.enqueue(text.slice(at));
  };
  const held = reply.body
    .pipeThrough(new TextDecoderStream())
    .pipeThrough(new TransformStream({ transform: hold }))
    .pipeThrough(new TextEncoderStream());
  const late = new Response(held, { headers: reply.headers });
  Object.defineProperty(late, "url", { value: reply.url });
  return late;
};
"""
"""Lets the end of Gradio's stream reach the page only after the next press has been taken."""


def test_a_press_that_crosses_with_the_end_of_the_stream_is_answered(
    browser: Browser, address: str
) -> None:
    page = browser.new_context(reduced_motion="reduce").new_page()
    page.add_init_script(HOLD_THE_GOODBYE)
    page.goto(address)
    page.locator("#coupon button", has_text="plate").wait_for()
    page.locator("#coupon button").click()
    page.get_by_label("Pipe", exact=True).check()
    page.get_by_label("Pipe size").wait_for()
    assert page.evaluate("window.crossed") > 0
    page.context.close()
