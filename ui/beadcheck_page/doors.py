"""The page's own addresses: photos in, pictures and files out, targets and sheets to print."""

import json
import logging
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import Route

from beadcheck.errors import BeadcheckError
from beadcheck_page.apart import LookedApart
from beadcheck_page.faults import fault_sentence
from beadcheck_page.guard import visit_token
from beadcheck_page.photo_refusals import UnusableUseError
from beadcheck_page.printing import PrintedPages, printed_target
from beadcheck_page.receiving import receiver
from beadcheck_page.sheets import printed_sheet
from beadcheck_page.uses import changed_use
from beadcheck_page.visit_answers import GONE, Answer, own_token, sentence
from beadcheck_page.visits import Visit, Visits

_LOG: Final = logging.getLogger(__name__)

LONGEST_USE: Final = 2_000
"""Bytes; what is said about a photo takes a hundred."""
_ONE_DECODED_AT_A_TIME: Final = threading.Lock()
"""A photo of 50 megapixels takes half a gigabyte while it is decoded."""


def doors(visits: Visits, looked: LookedApart) -> list[Route]:
    """Return the routes that stand beside Gradio's."""
    return [
        Route("/photos", receiver(visits, looked), methods=["POST"]),
        Route("/photos/{key}", _remover(visits), methods=["DELETE"]),
        Route("/photos/{key}/use", _use_changer(visits), methods=["PUT"]),
        Route("/photos/{key}/{size}.jpg", _photo_shower(visits), methods=["GET"]),
        Route("/standing", _standing_teller(visits), methods=["GET"]),
        Route("/results/{key}/{name}", _result_giver(visits), methods=["GET"]),
        Route("/results/{key}/sheet/{paper}", _sheet_drawer(visits), methods=["GET"]),
        Route("/targets/{kind}", _target_drawer, methods=["GET"]),
    ]


def _remover(visits: Visits) -> Answer:
    async def remove(request: Request) -> Response:
        token = own_token(request, visits)
        if token is None:
            return sentence(GONE, 403)
        visits.remove_photo(token, request.path_params["key"])
        return sentence("", 200)

    return remove


def _use_changer(visits: Visits) -> Answer:
    async def change(request: Request) -> Response:
        token = own_token(request, visits)
        if token is None:
            return sentence(GONE, 403)
        try:
            told = await _told(request)
            visits.use_photo(token, request.path_params["key"], lambda use: changed_use(use, told))
        except BeadcheckError as refusal:
            return sentence(str(refusal), 200)
        return sentence("", 200)

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
            diameter=request.query_params.get("diameter_mm"),
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


def _file(path: Path, *, as_picture: bool) -> Response:
    if not path.is_file():
        return nothing()
    if as_picture and path.suffix in {".jpg", ".jpeg", ".svg"}:
        kind = "image/svg+xml" if path.suffix == ".svg" else "image/jpeg"
        return FileResponse(path, media_type=kind)
    return FileResponse(path, filename=path.name)


def nothing() -> Response:
    """Answer to whoever asks for what is not there, or not theirs."""
    return PlainTextResponse("There is nothing here.", status_code=404)
