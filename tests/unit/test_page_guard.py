"""How much may be sent to the page at once, and what every answer says to the browser."""

import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient
from starlette.types import Receive, Scope, Send

from beadcheck_page.guard import HEADERS, LONGEST_BODY, Guard


async def page(scope: Scope, receive: Receive, send: Send) -> None:
    """Stands for the page, which reads all that is sent."""
    body = await Request(scope, receive).body()
    await PlainTextResponse(str(len(body)))(scope, receive, send)


@pytest.fixture(scope="module")
def client() -> TestClient:
    guard = Guard(page, gate=None, handlers={}, known=lambda _: True, begin=lambda: "v")
    return TestClient(guard, base_url="http://127.0.0.1:7860", client=("127.0.0.1", 5))


@pytest.mark.parametrize("path", ["/gradio_api/cancel", "/log/values.csv", "/photos/k/use"])
def test_more_than_a_form_holds_is_refused_before_it_is_read(client: TestClient, path: str) -> None:
    assert client.post(path, content=bytes(LONGEST_BODY)).text == str(LONGEST_BODY)
    refused = client.post(path, content=bytes(LONGEST_BODY + 1))
    assert refused.status_code == 413
    assert "too much" in refused.text
    unsaid = client.post(path, content=iter([b"of a length that nobody told"]))
    assert unsaid.status_code == 413


def test_a_photo_may_be_larger_for_its_door_counts_it_as_it_comes(client: TestClient) -> None:
    assert client.post("/photos", content=bytes(LONGEST_BODY + 1)).status_code == 200


@pytest.mark.parametrize(
    "path", ["/", "/photos/k/preview.jpg", "/etc/passwd", "/gradio_api/upload"]
)
def test_every_answer_carries_the_guarding_headers_refusals_too(
    client: TestClient, path: str
) -> None:
    # As the OWASP Secure Headers Project lists them (from memory).
    headers = client.get(path).headers
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert "default-src 'self'" in headers["content-security-policy"]
    assert "geolocation=()" in headers["permissions-policy"]
    assert headers["cache-control"] == "no-store"
    assert set(HEADERS) <= set(headers)
