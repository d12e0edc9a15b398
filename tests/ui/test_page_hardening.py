"""What Gradio is told to leave out, before the page listens on any network.

Each test is one line of the project's hardening list; the others stand with what they are about:
doors, visits, names and headers in `test_page_guards.py`, codes and their throttle in
`tests/unit/test_page_gate.py`, broken and huge pictures in `tests/unit/test_photo_read.py`, cells
for spreadsheets with each table.
"""

import os
import socket
from pathlib import Path

import httpx
import pytest
from gradio.blocks import Blocks

from beadcheck_page.network import lan_addresses
from beadcheck_page.serving import FOR_GRADIO, TABS
from beadcheck_page.visits import MAX_PHOTO_BYTES

LOOP_ELSEWHERE = "127.0.0.2"
"""Belongs to this computer as 127.0.0.1 does; who listens on all addresses answers there."""


def test_without_a_network_only_this_computer_is_listened_to(address: str, port: int) -> None:
    assert httpx.get(address).status_code == 200
    for other in (LOOP_ELSEWHERE, *lan_addresses()):
        with pytest.raises(OSError, match=r"."), socket.create_connection((other, port), 2.0):
            pass


def test_gradio_keeps_no_history_shows_no_errors_and_asks_nobody(address: str) -> None:
    config = httpx.get(f"{address}config").json()
    for switched_off in (
        "analytics_enabled",
        "run_history",
        "show_error",
        "vibe_mode",
        "dev_mode",
        "footer_links",
        "space_id",
    ):
        assert not config[switched_off], switched_off
    assert config["max_file_size"] <= 1024
    kinds = {each["type"] for each in config["components"]}
    assert not kinds & {"fileexplorer", "loginbutton", "imageeditor", "file", "uploadbutton"}
    for name, value in FOR_GRADIO.items():
        # Gradio words what it was told in its own way.
        assert os.environ[name] in {value, "True" if value == "1" else value}


def test_gradio_remembers_few_tabs_for_each_costs_memory(address: str) -> None:
    assert httpx.get(address).status_code == 200
    (page,) = (each for each in Blocks.get_instances() if each.is_running)
    assert page.state_holder.capacity == TABS <= 100


def test_no_handler_is_offered_to_programs(address: str) -> None:
    config = httpx.get(f"{address}config").json()
    assert {each["api_visibility"] for each in config["dependencies"]} == {"private"}


def test_what_gradio_keeps_lies_in_a_folder_of_this_user_alone(address: str) -> None:
    assert httpx.get(address).status_code == 200
    folder = Path(os.environ["GRADIO_TEMP_DIR"]).parent
    assert folder.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("path", ["", "config", "standing"])
def test_no_other_site_may_read_an_answer(address: str, path: str) -> None:
    for origin in ("http://elsewhere.example", "null"):
        answer = httpx.get(address + path, headers={"origin": origin})
        assert "access-control-allow-origin" not in answer.headers


def test_more_bytes_than_a_photo_has_are_refused_in_a_sentence(address: str) -> None:
    cookie = httpx.get(address).headers["set-cookie"].split(";")[0]
    own = {"cookie": cookie, "x-beadcheck": "page"}
    block = bytes(1_000_000)

    def too_much():  # a generator of blocks
        for _ in range(MAX_PHOTO_BYTES // len(block) + 1):
            yield block

    answer = httpx.post(f"{address}photos?name=a.jpg", content=too_much(), headers=own, timeout=60)
    assert "larger than 60 MB" in answer.json()["sentence"]
