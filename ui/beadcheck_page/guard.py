"""The outermost layer: which addresses exist, for which hosts, with which headers."""

import ipaddress
import socket
from collections.abc import Callable
from http.cookies import SimpleCookie
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

COOKIE: Final = "beadcheck_visit"
COOKIE_AGE_S: Final = 12 * 3600
OWN_HEADER: Final = "x-beadcheck"
"""Sent with every change by our own script; another site's page may not send it."""

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
    """Token of the visit in a Cookie header, where there is one.

    Examples
    --------
    >>> visit_token("theme=dark; beadcheck_visit=abc")
    'abc'
    >>> visit_token("theme=dark") is None
    True
    """
    jar: SimpleCookie = SimpleCookie()
    for part in (cookies or "").split(";"):
        name, _, value = part.strip().partition("=")
        if name == COOKIE:
            jar[COOKIE] = value
    return jar[COOKIE].value if COOKIE in jar else None


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
    """ASGI layer that lets through only what the page uses, and gives each browser its visit."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        lan: bool,
        known: Callable[[str | None], bool],
        begin: Callable[[], str],
    ) -> None:
        self._app, self._lan, self._known, self._begin = app, lan, known, begin

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        path = scope["path"]
        fresh = path == "/" and not self._known(visit_token(headers.get("cookie")))

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                out = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    out[name] = value
                if not path.startswith(("/assets/", "/static/")):
                    out["cache-control"] = "no-store"
                if fresh and scope["method"] == "GET":
                    out.append("set-cookie", _cookie(self._begin()))
            await send(message)

        if not host_allowed(headers.get("host", ""), lan=self._lan):
            refusal = PlainTextResponse("This name does not belong to the page.", status_code=400)
            await refusal(scope, receive, send_guarded)
        elif not (path in OPEN_PATHS or path.startswith(OPEN_BEGINNINGS)):
            await PlainTextResponse("Not here.", status_code=404)(scope, receive, send_guarded)
        else:
            await self._app(scope, receive, send_guarded)


def _cookie(token: str) -> str:
    return f"{COOKIE}={token}; Max-Age={COOKIE_AGE_S}; Path=/; HttpOnly; SameSite=Strict"
