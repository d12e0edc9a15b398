"""What a program may send in place of a press: nothing of it reaches Gradio but what fits."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient
from starlette.types import Receive, Scope, Send

from beadcheck_page.guard import HEADERS, Guard
from beadcheck_page.presses import PRESSES, fits

HANDLERS = {4: 2, 7: 0}
USUAL: dict[str, Any] = {
    "fn_index": 4,
    "data": ["mm", {"picture": [1, 2]}],
    "session_hash": "k3v9",
    "event_data": None,
    "trigger_id": 12,
}
FILES = (
    {"path": "/etc/passwd", "meta": {"_type": "gradio.FileData"}},
    {"path": "https://elsewhere.example/x", "meta": {"_type": "gradio.FileData"}},
    {"path": "x", "meta": "no table"},
    {"a": [[{"path": "..", "url": "file:///etc/passwd", "meta": {}}]]},
)
"""As gradio_client.utils.is_file_obj_with_meta knows them (6.31)."""


def sent(**changed: Any) -> bytes:
    return json.dumps({**USUAL, **changed}).encode()


class Page:
    """Stands for what is behind the guard, and tells what came through."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        request = Request(scope, receive)
        body = await request.body()
        if b"stumble" in body:
            raise ZeroDivisionError
        text = f"{scope['query_string'].decode()}|{body.decode()}"
        answer = PlainTextResponse(text)
        await answer(scope, receive, send)
        if b"late" in scope["query_string"]:
            raise ZeroDivisionError


@pytest.fixture(scope="module")
def client() -> TestClient:
    guard = Guard(Page(), gate=None, handlers=HANDLERS, known=lambda _: True, begin=lambda: "visit")
    return TestClient(guard, base_url="http://127.0.0.1:7860", client=("127.0.0.1", 5))


def test_a_press_of_the_page_comes_through_as_it_was_sent(client: TestClient) -> None:
    assert client.post(PRESSES, content=sent()).text.partition("|")[2] == sent().decode()


@pytest.mark.parametrize("value", FILES)
def test_no_value_names_a_file_or_an_address_for_gradio_to_fetch(
    client: TestClient, value: object
) -> None:
    refused = client.post(PRESSES, content=sent(data=["mm", value]))
    assert (refused.status_code, refused.text) == (400, "The page never sends that.")
    assert set(HEADERS) <= set(refused.headers)


@pytest.mark.parametrize(
    "changed",
    [
        {"fn_index": 5},
        {"fn_index": -1},
        {"fn_index": 10**40},
        {"fn_index": "4"},
        {"fn_index": True},
        {"fn_index": 7},
        {"data": []},
        {"data": "mm"},
        {"session_hash": None},
        {"session_hash": "../../x"},
        {"session_hash": "x" * 100_000},
        {"trigger_id": "x"},
        {"batched": True},
        {"request": {"headers": {"x-beadcheck-role": "instructor"}}},
    ],
)
def test_what_the_page_never_sends_is_refused(changed: dict[str, Any]) -> None:
    assert fits(sent(), HANDLERS)
    assert not fits(sent(**changed), HANDLERS)


@given(body=st.binary(max_size=60) | st.integers(1, 20_000).map(lambda deep: b"[" * deep))
def test_any_bytes_are_refused_without_a_fault(body: bytes) -> None:
    assert not fits(body, HANDLERS)


def test_a_fault_behind_the_guard_is_one_sentence_with_the_guarding_headers(
    client: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    answer = client.put("/photos/k/use", content=b"stumble")
    assert answer.status_code == 500
    assert answer.text.startswith("Something went wrong inside beadcheck (fault ")
    assert set(HEADERS) <= set(answer.headers)
    assert client.get("/standing?late").status_code == 200
    assert ["ZeroDivisionError" in each.message for each in caplog.records] == [True, True]
    assert not any(each.exc_info for each in caplog.records if each.levelname != "DEBUG")


@pytest.mark.parametrize("path", ["/", "/config"])
def test_no_stored_form_is_asked_for_by_a_name_in_an_address(client: TestClient, path: str) -> None:
    assert client.get(f"{path}?deep_link=..%2F..%2Fetc%2Fpasswd").text == "|"
    assert client.get("/targets/plate-card.pdf?paper=a4").text == "paper=a4|"
