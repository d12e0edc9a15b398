"""From the command to a running page, and back to a clean disk."""

import os
import signal
import socket
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Final
from urllib.parse import urlencode

import segno
from starlette.middleware import Middleware
from starlette.responses import Response
from starlette.routing import Route

from beadcheck_page.codes import Codes
from beadcheck_page.limit_choices import LimitChoices, offered_limits
from beadcheck_page.lodging import lodging, regular_sweeps
from beadcheck_page.network import lan_addresses
from beadcheck_page.refusals import PortTakenError

FOR_GRADIO: Final = {
    "GRADIO_ANALYTICS_ENABLED": "False",
    "GRADIO_SHARE": "False",
    "GRADIO_RUN_HISTORY": "False",
    "HF_HUB_DISABLE_TELEMETRY": "1",
    "HF_HUB_OFFLINE": "1",
}
"""Set before Gradio is imported: it then asks no other computer for anything."""

TABS: Final = 60
"""Gradio keeps half a megabyte of each tab that was ever opened, and needs none of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningPage:
    """A page that is being served.

    Attributes
    ----------
    address
        Where this computer finds it.
    lan_addresses
        Where other computers and phones find it.
    """

    address: str
    lan_addresses: tuple[str, ...]


def serve(port: int, *, codes: Codes | None, limits: Sequence[str] = ()) -> None:
    """Serve the page until Ctrl-C, on this computer alone, or with codes on its networks.

    Parameters
    ----------
    limits
        Limit files of one's own that the page offers beside the shipped sets.

    Raises
    ------
    InputFileError
        One of these files is broken.
    PortTakenError
        Another program listens on the port.
    """
    ended = threading.Event()
    signal.signal(signal.SIGTERM, lambda *_: ended.set())
    with running_page(port, codes=codes, limits=limits) as page:
        _tell(page, codes)
        try:
            ended.wait()
        except KeyboardInterrupt:
            sys.stdout.write("\nStopped; photos and results are deleted.\n")


@contextmanager
def running_page(
    port: int, *, codes: Codes | None = None, limits: Sequence[str] = ()
) -> Iterator[RunningPage]:
    """Serve the page as long as the context lasts; what was sent and made is deleted at its end.

    Parameters
    ----------
    codes
        What opens the page from other devices; None lets only this computer open it.

    Raises
    ------
    InputFileError
        A limit file of one's own is broken.
    PortTakenError
        Another program listens on the port.
    """
    choices = offered_limits(limits)
    lan = codes is not None
    _look_whether_free(port, lan=lan)
    with lodging() as folder:
        os.environ.update(FOR_GRADIO, GRADIO_TEMP_DIR=str(folder / "gradio"))
        addresses = lan_addresses() if lan else ()
        urls = tuple(f"http://{address}:{port}/" for address in addresses)
        with _launched(port, codes, folder=folder, urls=urls, limits=choices) as address:
            yield RunningPage(address=address, lan_addresses=urls)


def _look_whether_free(port: int, *, lan: bool) -> None:
    """Refuse early: Gradio says it late, and leaves its own probe open."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((_listening(lan=lan), port))
        except OSError:
            raise PortTakenError(port) from None


def _listening(*, lan: bool) -> str:
    return "0.0.0.0" if lan else "127.0.0.1"  # noqa: S104  # asked for by --lan


@contextmanager
def _launched(
    port: int, codes: Codes | None, *, folder: Path, urls: tuple[str, ...], limits: LimitChoices
) -> Iterator[str]:
    import cv2  # noqa: PLC0415  # the command's help does without it

    from beadcheck_page.apart import Apart  # noqa: PLC0415
    from beadcheck_page.bench import Bench  # noqa: PLC0415  # Gradio reads the environment on import
    from beadcheck_page.doors import doors  # noqa: PLC0415
    from beadcheck_page.folds import asset  # noqa: PLC0415
    from beadcheck_page.gate import Gate  # noqa: PLC0415
    from beadcheck_page.guard import Guard  # noqa: PLC0415
    from beadcheck_page.log_doors import log_doors  # noqa: PLC0415
    from beadcheck_page.lookout import Lookout  # noqa: PLC0415
    from beadcheck_page.page import build_page, theme  # noqa: PLC0415
    from beadcheck_page.visits import Visits  # noqa: PLC0415

    threads = cv2.getNumThreads()
    if codes is not None:
        threads = max(1, threads - 1)  # one core for those who press, while one measures
    apart = Apart(threads=threads)
    bench, lookout = Bench(apart.measured), Lookout(apart.looked.look)
    visits = Visits(folder, bench)
    page = build_page(visits, lookout, limits=limits, phone_hint=_phone_hint(urls, codes))
    gate = None if codes is None else Gate(codes)
    handlers = {number: len(handler.inputs) for number, handler in page.fns.items()}
    guard = Middleware(Guard, gate=gate, handlers=handlers, known=visits.known, begin=visits.begin)
    routes = [*doors(visits, apart.looked), *log_doors(visits), _icon(asset("icon.svg"))]
    try:
        _, address, _ = page.launch(
            server_name=_listening(lan=codes is not None),
            server_port=port,
            prevent_thread_lock=True,
            quiet=True,
            inbrowser=False,
            share=False,
            show_error=False,
            run_history=False,
            enable_monitoring=False,
            ssr_mode=False,
            mcp_server=False,
            strict_cors=True,
            pwa=False,
            footer_links=[],
            max_file_size="1kb",  # photos come through our own door
            state_session_capacity=TABS,
            theme=theme(),
            css=asset("page.css"),
            js=asset("page.js"),
            head=asset("head.html"),
            app_kwargs={
                "middleware": [guard],
                "routes": routes,
                "docs_url": None,
                "redoc_url": None,
                "openapi_url": None,
            },
        )
    except OSError:
        raise PortTakenError(port) from None
    try:
        with regular_sweeps(folder, visits.sweep):
            yield address
    finally:
        page.close(verbose=False)
        apart.close()
        bench.close()
        lookout.close()


def _icon(drawing: str) -> Route:
    async def icon(_: object) -> Response:
        return Response(drawing, media_type="image/svg+xml")

    return Route("/favicon.ico", icon, methods=["GET"])


def _phone_hint(urls: tuple[str, ...], codes: Codes | None) -> str:
    if not urls or codes is None:
        return ""
    scanned = _to_scan(urls[0], codes).svg_inline(scale=5, border=4, dark="#000", light="#fff")
    rest = "".join(f"<li>{url}</li>" for url in urls)
    return (
        '<details class="bc-fold"><summary>Open this page on a phone</summary>'
        f"<p>On the same network, scan this, or type an address and then the class code "
        f"<strong>{escape(codes.of_class)}</strong>:</p>{scanned}<ul>{rest}</ul></details>"
    )


def _to_scan(url: str, codes: Codes) -> segno.QRCode:
    """Code to scan, with the class code filled in: who sees the one can read the other beside it.

    The code stands behind the "#", which a browser sends to nobody and which the form's own script
    takes out of the address. It fits many phones, so it cannot be made to work only once; and it
    fills the form without sending it, so that a link on another site cannot try codes.
    """
    return segno.make(f"{url}#{urlencode({'code': codes.of_class})}")


def _tell(page: RunningPage, codes: Codes | None) -> None:
    from beadcheck_page.logbook import log_place  # noqa: PLC0415  # it loads half the library

    say = sys.stdout.write
    say(f"beadcheck page: {page.address}  (Ctrl-C stops it)\n")
    if codes is not None:
        if page.lan_addresses:
            say("On a phone in the same network, open one of these, or scan the code:\n")
            say("".join(f"  {url}\n" for url in page.lan_addresses))
            _to_scan(page.lan_addresses[0], codes).terminal(compact=True)
        else:
            say("This computer is on no network yet: connect it, and start the page again.\n")
        say(f"Class code:        {codes.of_class}\n")
        say(f"Instructor's code: {codes.of_instructor}  (shows the class side by side)\n")
        say("This computer itself needs no code. The connection is not encrypted: whoever\n")
        say("listens in the network can read what is sent, the codes and the photos too.\n")
        sys.stdout.flush()  # what names the log takes a while to load
        say(f"What is kept goes to the log {log_place()}\n")
    sys.stdout.flush()
