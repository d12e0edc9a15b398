"""What the page gives away: nothing of another visitor, no place, no way around its own doors."""

import io
import uuid
from pathlib import Path
from typing import Any

import httpx
import pytest
from PIL import ExifTags, Image
from playwright.sync_api import Page
from pypdf import PdfReader


def addresses(page: Page) -> list[str]:
    found: list[str] = page.evaluate(
        "[...document.querySelectorAll('main img, main a[download]')]"
        ".map(each => each.src || each.href)"
    )
    return [each for each in found if "/photos/" in each or "/results/" in each]


def ask(address: str, handler: str, *given: Any, cookie: str = "", of: str = "") -> str:
    """Call one of the page's private handlers as a program would, and return its answer."""
    headers = {"cookie": cookie} if cookie else {}
    if of:
        headers["x-forwarded-for"] = of
    with httpx.Client(base_url=address, headers=headers, timeout=20.0) as client:
        config = client.get("config").json()
        (which,) = {d["id"] for d in config["dependencies"] if d["api_name"] == handler}
        session = uuid.uuid4().hex
        body = {"data": list(given), "fn_index": which, "session_hash": session}
        client.post("gradio_api/queue/join", json=body).raise_for_status()
        lines = []
        with client.stream(
            "GET", "gradio_api/queue/data", params={"session_hash": session}
        ) as reply:
            for line in reply.iter_lines():
                lines.append(line)
                if "process_completed" in line:
                    break
        return "\n".join(lines)


def test_a_handler_shows_a_result_to_its_own_visitor_alone(
    measured_weld: Page, address: str
) -> None:
    key = measured_weld.locator("[data-result]").get_attribute("data-result")
    assert key is not None
    (cookie,) = measured_weld.context.cookies()
    own = f"{cookie['name']}={cookie['value']}"
    assert key in ask(address, "poll", cookie=own)
    for foreign in ("", f"{cookie['name']}=", f"{cookie['name']}={uuid.uuid4().hex}"):
        answer = ask(address, "poll", cookie=foreign)
        assert key not in answer
        assert "cap 7.jpg" not in answer


def test_pictures_and_files_open_for_their_own_visitor_alone(measured_weld: Page) -> None:
    found = addresses(measured_weld)
    assert len(found) >= 4
    for each in found:
        assert measured_weld.request.get(each).status == 200
        assert httpx.get(each).status_code == 404


def test_what_is_served_holds_no_place_and_lies_upright(measured_weld: Page) -> None:
    pictures = [each for each in addresses(measured_weld) if each.endswith(".jpg")]
    assert len(pictures) >= 3
    for each in pictures:
        with Image.open(io.BytesIO(measured_weld.request.get(each).body())) as picture:
            assert not dict(picture.getexif())
            assert not picture.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    thumbnail = next(each for each in pictures if "thumbnail" in each)
    with Image.open(io.BytesIO(measured_weld.request.get(thumbnail).body())) as picture:
        assert picture.width > picture.height  # the file lies on its side


def test_the_sheet_holds_no_place_in_any_of_its_pictures(measured_weld: Page) -> None:
    link = measured_weld.get_by_role("link", name="Sheet to print, A4")
    sheet = measured_weld.request.get(link.evaluate("link => link.href"), timeout=180_000)
    pictures = [each for page in PdfReader(io.BytesIO(sheet.body())).pages for each in page.images]
    assert pictures
    for each in pictures:
        with Image.open(io.BytesIO(each.data)) as picture:
            assert not dict(picture.getexif())


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(measured_weld: Page) -> None:
    (cookie,) = measured_weld.context.cookies()
    assert cookie["httpOnly"]
    assert cookie["sameSite"] == "Strict"
    assert len(cookie["value"]) >= 32


@pytest.mark.parametrize(
    "path",
    [
        "gradio_api/upload",
        "gradio_api/file=/etc/passwd",
        "gradio_api/proxy=http://example.org/",
        "gradio_api/call/poll",
        "gradio_api/run/poll",
        "gradio_api/info",
        "gradio_api/component_server",
        "monitoring",
        "docs",
        "openapi.json",
        "photos/../../etc/passwd",
        "results/x/..%2f..%2fetc%2fpasswd",
    ],
)
def test_doors_that_the_page_does_not_use_are_shut(address: str, path: str) -> None:
    assert httpx.get(address + path).status_code in {404, 405}
    assert httpx.post(address + path, json={"data": []}).status_code in {404, 405}


def test_photos_are_taken_from_our_own_script_alone(
    measured_weld: Page, address: str, weld: Path
) -> None:
    (cookie,) = measured_weld.context.cookies()
    own = {"cookie": f"{cookie['name']}={cookie['value']}"}
    without_header = httpx.post(
        f"{address}photos?name=a.jpg", content=weld.read_bytes(), headers=own
    )
    assert without_header.status_code == 403
    without_visit = httpx.post(
        f"{address}photos?name=a.jpg", content=weld.read_bytes(), headers={"x-beadcheck": "page"}
    )
    assert without_visit.status_code == 403


def test_a_foreign_name_for_this_computer_is_refused(address: str) -> None:
    assert httpx.get(address, headers={"host": "weld.example"}).status_code == 400
    assert httpx.get(address, headers={"host": "192.168.4.1:7860"}).status_code == 400


def test_every_answer_carries_the_guarding_headers(address: str) -> None:
    for path in ("", "config", "nowhere"):
        headers = httpx.get(address + path).headers
        policy = headers["content-security-policy"]
        for said in (
            "default-src 'self'",
            "connect-src 'self'",
            "frame-ancestors 'none'",
            "base-uri 'self'",
            "form-action 'self'",
        ):
            assert said in policy
        assert "http:" not in policy
        assert "*" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


@pytest.mark.parametrize("handler", ["form_changed", "start"])
def test_a_value_of_any_kind_is_answered_and_never_a_fault(address: str, handler: str) -> None:
    own = httpx.get(address).headers["set-cookie"].split(";")[0]
    config = httpx.get(f"{address}config").json()
    (which,) = (d for d in config["dependencies"] if d["api_name"] == handler)
    parts = {each["id"]: each["props"] for each in config["components"]}
    names = [parts[each].get("elem_id") for each in which["inputs"]]
    usual = [parts[each].get("value") for each in which["inputs"]]
    for name in ("schedule", "outside_diameter", "limits_of", "no_target"):
        place = names.index(name)
        for wrong in (["-"], {"a": 1}, 10**400, True):
            sent = [*usual[:place], wrong, *usual[place + 1 :]]
            answer = ask(address, handler, *sent, cookie=own)
            assert "process_completed" in answer
            assert "inside beadcheck" not in answer
