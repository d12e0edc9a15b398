"""What a browser sends to Gradio when something is pressed, looked at before Gradio sees it.

Gradio fetches what a value names as a file, from the disk or from another computer, before any
handler of ours is called; and what does not fit a handler it prints as a fault of its own.
"""

import asyncio
import json
import re
from collections.abc import Mapping
from typing import Final

from starlette.requests import ClientDisconnect, Request
from starlette.types import Message, Receive

PRESSES: Final = "/gradio_api/queue/join"
PATIENCE_S: Final = 60.0
"""For a coupon file over a slow network; whoever takes longer holds a place that others need."""
KEYS: Final = frozenset({"data", "event_data", "fn_index", "session_hash", "trigger_id"})
"""What Gradio's own script sends; it also takes others, which only programs use."""
SESSION: Final = re.compile(r"[0-9A-Za-z_-]{1,64}")
MARKS_FILE: Final = "meta"
"""Key by which Gradio knows that a value names a file; no value of the page has it."""


def fits(body: bytes, handlers: Mapping[int, int]) -> bool:
    """Tell whether a press is one that the page could have sent.

    Parameters
    ----------
    handlers
        How many values each of the page's handlers takes, by its number.

    Examples
    --------
    >>> fits(b'{"fn_index": 3, "session_hash": "k7", "data": [1.5]}', {3: 1})
    True
    >>> fits(b'{"fn_index": 3, "session_hash": "k7", "data": [{"meta": {}, "path": "/x"}]}', {3: 1})
    False
    """
    try:
        press = json.loads(body)
    except (ValueError, RecursionError):
        return False
    if not isinstance(press, dict) or not press.keys() <= KEYS:
        return False
    number, values = press.get("fn_index"), press.get("data")
    session, trigger = press.get("session_hash"), press.get("trigger_id")
    return (
        type(number) is int
        and isinstance(values, list)
        and handlers.get(number) == len(values)
        and isinstance(session, str)
        and SESSION.fullmatch(session) is not None
        and (trigger is None or type(trigger) is int)
        and not _names_file(values)
    )


def _names_file(values: list[object]) -> bool:
    waiting = list(values)
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            if MARKS_FILE in value:
                return True
            waiting += value.values()
        elif isinstance(value, list):
            waiting += value
    return False


async def body_of(request: Request) -> bytes | None:
    """All that is sent; None where it does not come, or not in time."""
    try:
        async with asyncio.timeout(PATIENCE_S):
            return await request.body()
    except (TimeoutError, ClientDisconnect):
        return None


def received_again(body: bytes, receive: Receive) -> Receive:
    """Hand on what was read already, then whatever else comes."""
    handed = False

    async def receive_again() -> Message:
        nonlocal handed
        if handed:
            return await receive()
        handed = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receive_again
