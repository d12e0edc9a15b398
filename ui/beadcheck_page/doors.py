"""The page's own addresses: photos in, pictures and files out, targets and sheets to print."""

import json
import logging
import secrets
import threading
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any, Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import Route

from beadcheck.errors import BeadcheckError
from beadcheck_page.cameras import calibrated_cameras
from beadcheck_page.faults import fault_sentence
from beadcheck_page.guard import OWN_HEADER, visit_token
from beadcheck_page.intake import StoredPhoto, safe_name, store_photo
from beadcheck_page.printing import PrintedPages, printed_target
from beadcheck_page.refusals import FileTooLargeError, UnusableUseError
from beadcheck_page.sheets import printed_sheet
from beadcheck_page.uses import FACE, changed_use
from beadcheck_page.visits import Visit, Visits

_LOG: Final = logging.getLogger(__name__)

MAX_PHOTO_MB: Final = 60.0
_BYTES_PER_MB: Final = 1_000_000
LONGEST_USE: Final = 2_000
"""Bytes; what is said about a photo takes a hundred."""
_ONE_DECODED_AT_A_TIME: Final = threading.Lock()
"""A photo of 50 megapixels takes half a gigabyte while it is decoded."""

GONE: Final = "This page has been idle for too long. Reload it, and send the photo again."
Answer = Callable[[Request], Coroutine[Any, Any, Response]]


def doors(visits: Visits) -> list[Route]:
    """Return the routes that stand beside Gradio's."""
    return [
        Route("/photos", _receiver(visits), methods=["POST"]),
        Route("/photos/{key}", _remover(visits), methods=["DELETE"]),
        Route("/photos/{key}/use", _use_changer(visits), methods=["PUT"]),
        Route("/photos/{key}/{size}.jpg", _photo_shower(visits), methods=["GET"]),
        Route("/standing", _standing_teller(visits), methods=["GET"]),
        Route("/results/{key}/{name}", _result_giver(visits), methods=["GET"]),
        Route("/results/{key}/sheet/{paper}", _sheet_drawer(visits), methods=["GET"]),
        Route("/targets/{kind}", _target_drawer, methods=["GET"]),
    ]


def _receiver(visits: Visits) -> Answer:
    async def receive(request: Request) -> Response:
        token = _own_token(request, visits)
        if token is None:
            return _sentence(GONE, 403)
        try:
            folder = visits.expect_photo(token)
        except BeadcheckError as refusal:
            return _sentence(str(refusal), 200)
        photo, use = None, FACE
        incoming = folder / f"incoming-{secrets.token_hex(8)}"
        try:
            use = changed_use(FACE, request.query_params)
            await _save_body(request, incoming)
            sent_name = request.query_params.get("name", "")
            photo = await run_in_threadpool(_stored, visits, token, incoming, sent_name)
            return _sentence("", 200)
        except BeadcheckError as refusal:
            return _sentence(str(refusal), 200)
        except ClientDisconnect:
            return Response(status_code=499)
        except Exception as error:  # the last face before a person
            return _sentence(fault_sentence(_LOG, error), 500)
        finally:
            incoming.unlink(missing_ok=True)
            visits.photo_came(token, photo, use)

    return receive


async def _save_body(request: Request, path: Path) -> None:
    size = 0
    with path.open("wb") as file:
        async for chunk in request.stream():
            size += len(chunk)
            if size > MAX_PHOTO_MB * _BYTES_PER_MB:
                raise FileTooLargeError(MAX_PHOTO_MB)
            file.write(chunk)


def _stored(visits: Visits, token: str, incoming: Path, sent_name: str) -> StoredPhoto:
    visit = visits.look(token)
    taken = [photo.name for photo in visit.photos] if visit else []
    with _ONE_DECODED_AT_A_TIME:
        named = incoming.with_name(f"{incoming.name}-named")
        named.mkdir(mode=0o700)
        sent = incoming.rename(named / safe_name(sent_name, taken=taken))
        try:
            return store_photo(
                sent, name=sent.name, folder=named.parent, cameras=calibrated_cameras()
            )
        finally:
            sent.unlink(missing_ok=True)
            named.rmdir()


def _remover(visits: Visits) -> Answer:
    async def remove(request: Request) -> Response:
        token = _own_token(request, visits)
        if token is None:
            return _sentence(GONE, 403)
        visits.remove_photo(token, request.path_params["key"])
        return _sentence("", 200)

    return remove


def _use_changer(visits: Visits) -> Answer:
    async def change(request: Request) -> Response:
        token = _own_token(request, visits)
        if token is None:
            return _sentence(GONE, 403)
        try:
            told = await _told(request)
            visits.use_photo(token, request.path_params["key"], lambda use: changed_use(use, told))
        except BeadcheckError as refusal:
            return _sentence(str(refusal), 200)
        return _sentence("", 200)

    return change


async def _told(request: Request) -> object:
    """What our own script sends about a photo."""
    body = b""
    async for chunk in request.stream():
        body += chunk
        if len(body) > LONGEST_USE:
            raise UnusableUseError("What was said about the photo")
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        raise UnusableUseError("What was said about the photo") from None


def _photo_shower(visits: Visits) -> Answer:
    async def show(request: Request) -> Response:
        visit = visits.look(visit_token(request.headers.get("cookie")))
        for photo in visit.photos if visit else ():
            sizes = {"preview": photo.preview, "thumbnail": photo.thumbnail}
            if photo.key == request.path_params["key"] and request.path_params["size"] in sizes:
                return _file(sizes[request.path_params["size"]], as_picture=True)
        return nothing()

    return show


def _result_giver(visits: Visits) -> Answer:
    async def give(request: Request) -> Response:
        visit = _with_own_outcome(request, visits)
        files = visit.outcome.files if visit and visit.outcome else {}
        path = files.get(request.path_params["name"])
        return nothing() if path is None else _file(path, as_picture=path.parent.name != "files")

    return give


def _sheet_drawer(visits: Visits) -> Answer:
    async def draw(request: Request) -> Response:
        visit = _with_own_outcome(request, visits)
        outcome = visit.outcome if visit else None
        if visit is None or outcome is None:
            return nothing()

        def drawn() -> PrintedPages:
            with _ONE_DECODED_AT_A_TIME:
                return printed_sheet(
                    outcome,
                    visit.kept_as,
                    paper=request.path_params["paper"],
                    unit=request.query_params.get("unit", ""),
                )

        return await pages(drawn)

    return draw


def _with_own_outcome(request: Request, visits: Visits) -> Visit | None:
    """Visit whose own result an address names."""
    visit = visits.look(visit_token(request.headers.get("cookie")))
    outcome = visit.outcome if visit else None
    return visit if outcome and outcome.key == request.path_params["key"] else None


def _standing_teller(visits: Visits) -> Answer:
    async def tell(request: Request) -> Response:
        visit = visits.look(visit_token(request.headers.get("cookie")))
        running = visit is not None and visit.progress is not None and visit.progress.running
        return Response(json.dumps({"running": running}), media_type="application/json")

    return tell


async def _target_drawer(request: Request) -> Response:
    return await pages(
        lambda: printed_target(
            request.path_params["kind"],
            paper=request.query_params.get("paper", "a4"),
            outside_diameter=request.query_params.get("outside_diameter_mm"),
        )
    )


async def pages(draw: Callable[[], PrintedPages]) -> Response:
    """Answer with pages to print, or with the sentence why there are none."""
    try:
        drawn = await run_in_threadpool(draw)
    except BeadcheckError as refusal:
        return PlainTextResponse(str(refusal), status_code=422)
    except Exception as error:  # the last face before a person
        return PlainTextResponse(fault_sentence(_LOG, error), status_code=500)
    return Response(
        drawn.pdf,
        media_type="application/pdf",
        headers={"content-disposition": f'attachment; filename="{drawn.name}"'},
    )


def _own_token(request: Request, visits: Visits) -> str | None:
    """Token of a change that our own script asks for, in a visit that is known."""
    token = visit_token(request.headers.get("cookie"))
    ours = request.headers.get(OWN_HEADER) is not None
    return token if ours and visits.known(token) else None


def _file(path: Path, *, as_picture: bool) -> Response:
    if not path.is_file():
        return nothing()
    if as_picture and path.suffix in {".jpg", ".jpeg", ".svg"}:
        kind = "image/svg+xml" if path.suffix == ".svg" else "image/jpeg"
        return FileResponse(path, media_type=kind)
    return FileResponse(path, filename=path.name)


def _sentence(text: str, status: int) -> Response:
    """Answer for our own script; a refused photo is an answer like any other."""
    return Response(json.dumps({"sentence": text}), status, media_type="application/json")


def nothing() -> Response:
    """Answer to whoever asks for what is not there, or not theirs."""
    return PlainTextResponse("There is nothing here.", status_code=404)
