"""The outermost layer: which addresses exist, for which hosts, with which headers."""

import ipaddress
import logging
import socket
from collections.abc import Callable, Mapping
from typing import Final

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from beadcheck_page.cookies import cookie_set, cookie_value
from beadcheck_page.faults import fault_sentence
from beadcheck_page.gate import HANDED_ON, Gate
from beadcheck_page.presses import PRESSES, body_of, fits, received_again
from beadcheck_page.roles import ROLE_HEADER, Role

_LOG: Final = logging.getLogger(__name__)

COOKIE: Final = "beadcheck_visit"
COOKIE_AGE_S: Final = 12 * 3600
OWN_HEADER: Final = "x-beadcheck"
"""Sent with every change by our own script; another site's page may not send it."""

LONGEST_BODY: Final = 8_000_000
"""Bytes; a coupon file of 1 MB in which every letter is written as JSON may write it is shorter."""
NO_QUESTION: Final = frozenset({"/", "/config"})
"""Gradio would read a stored form under a name that stands behind the question mark."""
PHOTOS: Final = "/photos"
"""Counts what comes in as it comes."""

OPEN_PATHS: Final = frozenset(
    {
        "/",
        "/config",
        "/favicon.ico",
        "/manifest.json",
        "/robots.txt",
        "/standing",
        "/theme.css",
        "/gradio_api/theme.css",
        "/gradio_api/cancel",
        "/gradio_api/queue/data",
        "/gradio_api/queue/join",
        "/gradio_api/reset",
        "/gradio_api/startup-events",
    }
)
OPEN_BEGINNINGS: Final = (
    "/assets/",
    "/static/",
    "/gradio_api/heartbeat/",
    "/log/",
    "/photos",
    "/results/",
    "/targets/",
)
"""All that the page uses. Gradio's own doors for files, uploads, proxies and programs stay shut."""

HEADERS: Final = {
    "content-security-policy": (
        # Gradio compiles the templates of its HTML components in the browser: 'unsafe-eval'.
        "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; "
        "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
        "connect-src 'self' data: blob:; worker-src 'self' blob:; object-src 'none'; "
        "frame-ancestors 'none'; base-uri 'self'; form-action 'self'"
    ),
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), camera=(self)",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
}


def visit_token(cookies: str | None) -> str | None:
    """Token of the visit in a Cookie header, where there is one."""
    return cookie_value(cookies, COOKIE)


def host_allowed(host: str, *, lan: bool) -> bool:
    """Whether a Host header names this computer by number or by its own name.

    A page elsewhere can point a name of its own at this computer (DNS rebinding); it cannot do so
    with a number.

    Examples
    --------
    >>> host_allowed("127.0.0.1:7860", lan=False), host_allowed("192.168.4.1:7860", lan=False)
    (True, False)
    >>> host_allowed("192.168.4.1:7860", lan=True), host_allowed("weld.example", lan=True)
    (True, False)
    """
    name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
    name = name.strip("[]").lower()
    if name == "localhost":
        return True
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        own = socket.gethostname().lower()
        return lan and name in {own, f"{own}.local", own.split(".")[0] + ".local"}
    return lan or address.is_loopback


class Guard:
    """ASGI layer that lets through only what the page uses, and gives each browser its visit.

    Parameters
    ----------
    gate
        Asks other devices for a code; None where only this computer is listened to.
    handlers
        How many values each of the page's handlers takes, by its number.
    known, begin
        Whether a token opens a visit; open a visit, and return its token.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        gate: Gate | None,
        handlers: Mapping[int, int],
        known: Callable[[str | None], bool],
        begin: Callable[[], str],
    ) -> None:
        self._app, self._gate, self._handlers = app, gate, handlers
        self._known, self._begin = known, begin

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        request, path = Request(scope, receive), scope["path"]
        role = await self._admitted(request)
        if isinstance(role, Response):
            await _guarded(role)(scope, receive, send)
            return
        if path == PRESSES:
            body = await body_of(request)
            if body is None or not fits(body, self._handlers):
                refusal = PlainTextResponse("The page never sends that.", status_code=400)
                await _guarded(refusal)(scope, receive, send)
                return
            receive = received_again(body, receive)
        await self._served(_told_of(scope, role), receive, send)

    async def _admitted(self, request: Request) -> Role | Response:
        """Role of whoever may ask for this; else the answer."""
        path = request.scope["path"]
        if not host_allowed(request.headers.get("host", ""), lan=self._gate is not None):
            return PlainTextResponse("This name does not belong to the page.", status_code=400)
        if path != PHOTOS and _is_too_long(request):
            return PlainTextResponse("That is too much at once.", status_code=413)
        found = Role.HERE if self._gate is None else await self._gate.admit(request)
        if isinstance(found, Role) and not _is_open(path):
            return PlainTextResponse("Not here.", status_code=404)
        return found

    async def _served(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Have the page answer; what goes wrong in it becomes one sentence, and one line here."""
        path, begun = scope["path"], False
        token = visit_token(Request(scope).headers.get("cookie"))
        fresh = path == "/" and scope["method"] == "GET" and not self._known(token)

        async def send_guarded(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                out = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    out[name] = value
                if not path.startswith(("/assets/", "/static/")):
                    out["cache-control"] = "no-store"
                if fresh:
                    cookie = cookie_set(COOKIE, self._begin(), age_s=COOKIE_AGE_S)
                    out.append("set-cookie", cookie)
            await send(message)

        try:
            await self._app(scope, receive, send_guarded)
        except Exception as error:  # the last face before a browser
            if begun:
                # Nothing can be said any more; most often whoever asked, or the session, is gone.
                _LOG.warning("an answer to %s broke off (%s)", path, type(error).__name__)
                return
            failure = PlainTextResponse(fault_sentence(_LOG, error), status_code=500)
            await _guarded(failure)(scope, receive, send)


def _guarded(answer: Response) -> Response:
    for name, value in {"cache-control": "no-store", **HEADERS}.items():
        answer.headers.setdefault(name, value)
    return answer


def _is_open(path: str) -> bool:
    return path in OPEN_PATHS or path.startswith(OPEN_BEGINNINGS)


def _is_too_long(request: Request) -> bool:
    """Tell whether more is sent than is kept in memory; who does not say how much sends too much.

    The server reads no more than what the header says.
    """
    said = request.headers.get("content-length", "0")
    return "transfer-encoding" in request.headers or int(said) > LONGEST_BODY


def _told_of(scope: Scope, role: Role) -> Scope:
    """Same request with the role that the guard found, and without what a browser says of it."""
    dropped = {ROLE_HEADER.encode(), *(name.encode() for name in HANDED_ON)}
    kept = [(name, value) for name, value in scope["headers"] if name.lower() not in dropped]
    asked = b"" if scope["path"] in NO_QUESTION else scope["query_string"]
    told = (ROLE_HEADER.encode(), role.value.encode())
    return {**scope, "headers": [*kept, told], "query_string": asked}
