"""What another device reaches with a code and without: everything, or the form that asks for it."""

import asyncio
import json
import re
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any
from urllib.parse import urlencode

import httpx
import pytest
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient
from starlette.types import Receive, Scope, Send

from beadcheck_page.admissions import COOKIE as ADMISSION
from beadcheck_page.codes import Codes
from beadcheck_page.gate import CLOSED, LONGEST_FORM, Gate
from beadcheck_page.guard import COOKIE as VISIT
from beadcheck_page.guard import OPEN_BEGINNINGS, OPEN_PATHS, Guard
from beadcheck_page.patience import OF_ALL, OF_ONE, Patience
from beadcheck_page.roles import ROLE_HEADER

CODES = Codes(of_class="483 920", of_instructor="5127 8843")
BASE = "http://192.168.4.1:7860"
WORDS = "what the page says"


class Clock:
    now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


class Page:
    """Stands for the page behind the guard, and tells what role it was told."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = dict(scope["headers"])
        role = headers.get(ROLE_HEADER.encode(), b"none").decode()
        await PlainTextResponse(f"{WORDS} to {role}")(scope, receive, send)


class Shop:
    """A page on the shop's network, and whoever asks for it."""

    def __init__(self) -> None:
        self.clock, self.begun = Clock(), 0
        gate = Gate(
            CODES,
            of_one=Patience(OF_ONE, clock=self.clock),
            of_all=Patience(OF_ALL, clock=self.clock),
        )
        self.guard = Guard(Page(), gate=gate, handlers={}, known=self._knows, begin=self._begin)

    def _knows(self, visit: str | None) -> bool:
        return visit == "v1"

    def _begin(self) -> str:
        self.begun += 1
        return f"v{self.begun}"

    def device(self, address: str = "192.168.4.7") -> TestClient:
        return TestClient(
            self.guard, base_url=BASE, client=(address, 50000), follow_redirects=False
        )


@pytest.fixture
def shop() -> Iterator[Shop]:
    return Shop()


def run_apart(asked: Coroutine[Any, Any, list[httpx.Response]]) -> list[httpx.Response]:
    """Run in a thread of its own: a browser's loop may be running in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, asked).result()


def enter(device: TestClient, code: str, **headers: str) -> httpx.Response:
    form = {"content-type": "application/x-www-form-urlencoded", **headers}
    return device.post("/enter", content=urlencode({"code": code}), headers=form)


EVERYTHING = sorted({*OPEN_PATHS, *(f"{each}x/y" for each in OPEN_BEGINNINGS)} - {"/"})


def test_without_a_code_nothing_of_the_page_is_reached(shop: Shop) -> None:
    outside = httpx.ASGITransport(app=shop.guard, client=("192.168.4.7", 50000))
    paths = [*EVERYTHING, "/nowhere", "/gradio_api/upload", "/%2e%2e/config"]

    async def ask_for_everything() -> list[httpx.Response]:
        async with httpx.AsyncClient(transport=outside, base_url=BASE) as device:
            methods = ("GET", "POST", "HEAD", "PUT", "DELETE", "OPTIONS")
            return [await device.request(each, path) for path in paths for each in methods]

    for answer in run_apart(ask_for_everything()):
        assert answer.status_code == 403, answer.url
        assert answer.headers["x-beadcheck-gate"] == "closed"
        assert WORDS not in answer.text
        assert "set-cookie" not in answer.headers
        if answer.request.method != "HEAD":
            assert json.loads(answer.text)["sentence"] == CLOSED
    assert shop.begun == 0


def test_without_a_code_the_first_page_is_the_form_and_begins_no_visit(shop: Shop) -> None:
    for forged in ("", f"{VISIT}=v1", f"{ADMISSION}=trainee.99999999999.00"):
        answer = shop.device().get("/", headers={"cookie": forged})
        assert answer.status_code == 200
        assert 'name="code"' in answer.text
        assert WORDS not in answer.text
        assert CODES.of_class not in answer.text
        assert "set-cookie" not in answer.headers
    assert shop.device().post("/").status_code == 403
    assert shop.begun == 0


def test_the_class_code_opens_the_page_for_this_device_alone(shop: Shop) -> None:
    device = shop.device()
    answer = enter(device, "483920")
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"]
    for said in ("HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=43200"):
        assert said in cookie
    page = device.get("/")
    assert page.text == f"{WORDS} to trainee"
    assert f"{VISIT}=v1" in page.headers["set-cookie"]
    assert device.get("/config").text == f"{WORDS} to trainee"
    assert WORDS not in shop.device().get("/").text


def test_the_instructors_code_opens_more_and_a_device_can_leave(shop: Shop) -> None:
    device = shop.device()
    enter(device, "483920")
    assert "class side by side" in device.get("/enter").text
    enter(device, "51278843")
    assert device.get("/config").text == f"{WORDS} to instructor"
    assert device.post("/leave").status_code == 303
    assert device.get("/config").status_code == 403


def test_a_role_that_a_browser_claims_is_not_believed(shop: Shop) -> None:
    device = shop.device()
    claimed = {ROLE_HEADER: "instructor"}
    assert device.get("/config", headers=claimed).status_code == 403
    enter(device, "483920")
    assert device.get("/config", headers=claimed).text == f"{WORDS} to trainee"


def test_this_computer_needs_no_code_unless_it_hands_on_what_another_asks(shop: Shop) -> None:
    here = shop.device("127.0.0.1")
    assert here.get("/config").text == f"{WORDS} to here"
    assert here.get("/enter").headers["location"] == "/"
    for name in ("x-forwarded-for", "forwarded", "via", "x-real-ip"):
        assert here.get("/config", headers={name: "127.0.0.1"}).status_code == 403


def test_wrong_codes_are_told_and_then_have_to_wait(shop: Shop) -> None:
    device = shop.device()
    for _ in range(OF_ONE.free):
        answer = enter(device, "000000")
        assert answer.status_code == 403
        assert "That is not the code." in answer.text
        assert "retry-after" not in answer.headers
    answer = enter(device, "000000")
    assert (answer.status_code, answer.headers["retry-after"]) == (403, "10")
    assert "That is not the code. Please wait 10 seconds, then enter it again." in answer.text
    shop.clock.now_s += 4.0
    right = enter(device, "483920")
    assert (right.status_code, right.headers["retry-after"]) == (429, "6")
    assert (
        "Too many wrong codes from this device. Please wait 6 seconds, then enter it again."
        in right.text
    )
    assert "set-cookie" not in right.headers
    assert enter(shop.device("192.168.4.8"), "483920").status_code == 303
    shop.clock.now_s += 6.0
    assert enter(device, "483920").status_code == 303


def test_the_class_code_does_not_buy_more_tries_at_the_instructors(shop: Shop) -> None:
    device = shop.device()
    for _ in range(OF_ONE.free):
        enter(device, "00000000")
        assert enter(device, "483920").status_code == 303
    assert enter(device, "00000000").headers["retry-after"] == "10"
    assert enter(device, "51278843").status_code == 429


def test_wrong_codes_from_many_addresses_make_every_device_wait(shop: Shop) -> None:
    for number in range(OF_ALL.free + 1):
        enter(shop.device(f"192.168.5.{number}"), "000000")
    answer = enter(shop.device(), "483920")
    assert (answer.status_code, answer.headers["retry-after"]) == (429, "2")
    assert "Too many wrong codes in this network. Please wait 2 seconds" in answer.text


def test_a_form_that_another_site_sends_is_not_counted_and_opens_nothing(shop: Shop) -> None:
    device = shop.device()
    for origin in ("http://elsewhere.example", "null", "http://192.168.4.1:9999"):
        for code in ("483920", "000000"):
            answer = enter(device, code, origin=origin)
            assert answer.status_code == 403
            assert "sent from another site" in answer.text
            assert "set-cookie" not in answer.headers
    assert enter(device, "483920", origin=BASE).status_code == 303
    assert device.post("/leave", headers={"origin": "null"}).status_code == 403
    assert device.get("/leave").status_code == 200
    assert device.get("/config").status_code == 200


@pytest.mark.parametrize(
    "body", [b"", b"code", b"\xff\xfe", b"code=" + b"0" * LONGEST_FORM, b"code=%00&code=483920"]
)
def test_whatever_is_sent_as_a_form_is_a_wrong_code(shop: Shop, body: bytes) -> None:
    answer = shop.device().post("/enter", content=body)
    assert answer.status_code == 403
    assert "Traceback" not in answer.text


def test_what_was_entered_is_not_shown_again(shop: Shop) -> None:
    answer = enter(shop.device(), '"><script>alert(1)</script>')
    assert "alert(1)" not in answer.text


def test_the_form_lets_only_its_own_style_and_script_run(shop: Shop) -> None:
    answer = shop.device().get("/")
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-content-type-options"] == "nosniff"
    # The browser then names the form's own site, and no other.
    assert answer.headers["referrer-policy"] == "same-origin"
    assert not re.search(r'(src|href)="(?!data:)', answer.text)


def test_the_form_says_that_others_can_listen_and_who_judges(shop: Shop) -> None:
    text = shop.device().get("/").text
    assert "This connection is not encrypted." in text
    assert "inspector" in text


def test_a_foreign_name_for_this_computer_is_refused_before_any_code(shop: Shop) -> None:
    answer = shop.device().get("/", headers={"host": "weld.example"})
    assert answer.status_code == 400
    assert "code" not in answer.text


def test_without_a_network_nobody_is_asked() -> None:
    guard = Guard(Page(), gate=None, handlers={}, known=lambda _: False, begin=lambda: "v")
    here = TestClient(guard, base_url="http://127.0.0.1:7860", client=("127.0.0.1", 5))
    assert here.get("/").text == f"{WORDS} to here"
    assert here.get("/enter").status_code == 404
