"""A real browser on a real page, at the size of a phone and of a desktop."""

import functools
import os
import shutil
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    BrowserType,
    ConsoleMessage,
    Error,
    Page,
    Request,
    expect,
)

from beadcheck_page.serving import running_page

from .scene import FOCAL_35MM_MM, bare_pixels, sample_pixels, save_with_place

CHROMIUM: Final = next(
    filter(None, map(shutil.which, ("chromium-headless-shell", "chromium", "chromium-browser"))),
    None,
)
"""The shell first: the same engine without windows of its own, which cost a third of each visit."""
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
SIZES: Final[dict[str, dict[str, Any]]] = {
    "phone": {
        "viewport": {"width": 390, "height": 844},
        "has_touch": True,
        "is_mobile": True,
    },
    "desktop": {"viewport": {"width": 1280, "height": 900}},
}

Visit = Callable[..., Page]

expect.set_options(timeout=30_000)  # its own five seconds are few where others work, too

_LEAVING: Final[set[Page]] = set()
"""Pages that are being loaded afresh just now."""


@pytest.fixture(scope="session")
def browser_type_launch_args(
    browser_type_launch_args: dict[str, Any], browser_type: BrowserType
) -> dict[str, Any]:
    asked = {**browser_type_launch_args, "args": list(FLAGS)}
    if CHROMIUM is not None:
        return {**asked, "executable_path": CHROMIUM}
    if not Path(browser_type.executable_path).exists():  # Playwright's own
        if os.environ.get("CI"):
            pytest.fail("chromium is not installed: the page is not tested")
        pytest.skip("chromium is not installed")
    return asked


@pytest.fixture(scope="session")
def port() -> int:
    return unused_port()


def unused_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session", autouse=True)
def log_of_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the tests out of the log of whoever runs them."""
    with pytest.MonkeyPatch.context() as patch:
        file = tmp_path_factory.mktemp("log") / "log.sqlite3"
        patch.setenv("BEADCHECK_LOG", str(file))
        yield


@pytest.fixture(scope="session")
def address(port: int, browser: Browser) -> Iterator[str]:  # noqa: ARG001  # its event loop runs here
    # Without a running loop Gradio makes one for each lock, and closes none: warnings are errors.
    with running_page(port) as page:
        yield page.address


@contextmanager
def visits(browser: Browser, address: str) -> Iterator[Visit]:
    """Open the page as new visitors; at the end nothing may have gone wrong or left the machine."""
    contexts: list[BrowserContext] = []
    wrong: list[str] = []
    bases = [address]

    def hear(message: ConsoleMessage) -> None:
        if message.type == "error" and message.page not in _LEAVING:
            wrong.append(message.text)

    def fail(page: Page, error: Error) -> None:
        if page not in _LEAVING:
            wrong.append(str(error))

    def look(request: Request) -> None:
        if not request.url.startswith((*bases, "data:", "blob:")):
            wrong.append(request.url)

    def open_page(
        size: str = "phone", *, base: str = "", faults: bool = False, code: str = "", **more: Any
    ) -> Page:
        context = browser.new_context(**{"reduced_motion": "reduce", **SIZES[size], **more})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)
        if base:
            bases.append(base)
        page.on("request", look)
        if not faults:
            page.on("console", hear)
            page.on("pageerror", functools.partial(fail, page))
        page.goto(base or address)
        if code:
            page.get_by_label("Class code").fill(code)
            page.get_by_role("button", name="Open the page").click()
        page.locator("#coupon button", has_text="plate").wait_for()
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert wrong == []


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Visit]:
    with visits(browser, address) as open_page:
        yield open_page


@pytest.fixture(scope="session")
def weld(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return save_with_place(sample_pixels(), tmp_path_factory.mktemp("photos") / "cap 7.jpg")


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("photos") / "bare.jpg"
    return save_with_place(bare_pixels(), path, focal_mm=FOCAL_35MM_MM)


@pytest.fixture(scope="session")
def measured_weld(browser: Browser, address: str, weld: Path) -> Iterator[Page]:
    """A phone's page on which `weld` was measured, in mm.

    For tests that only look, or that leave it as they found it.
    """
    with visits(browser, address) as open_page:
        page = open_page("phone", bypass_csp=True)
        choose(page, weld)
        measure(page)
        yield page


def reload(page: Page) -> None:
    """Load the page afresh, as its reader would.

    What the document that is left says of its own cut connections is no fault.
    """
    _LEAVING.add(page)
    page.reload()
    _LEAVING.remove(page)


def choose(page: Page, *paths: Path) -> None:
    """Choose photos, and wait until the page lists them."""
    before = page.locator("#tray .bc-photos > li").count()
    page.get_by_label("Choose photos").set_input_files(list(paths))
    page.locator("#tray .bc-photos > li").nth(before + len(paths) - 1).wait_for()


def measure(page: Page) -> None:
    """Press Measure, and wait for the result."""
    page.locator("#measure").click()
    page.locator("[data-result]").wait_for(timeout=180_000)
