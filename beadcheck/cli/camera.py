"""The subcommand that calibrates a phone's camera, and keeps, shows and forgets calibrations."""

import os
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from beadcheck.cli.failures import MEASURED
from beadcheck.cli.photos import photo_paths
from beadcheck.cli.streams import put, tell
from beadcheck.errors.command import (
    BadFlagValueError,
    ConflictingFlagsError,
    FlagNeedsFlagError,
)

if TYPE_CHECKING:
    from beadcheck.camera.calibrate import Calibration
    from beadcheck.camera.view import Board

EXAMPLES: Final = """Examples:

\b
  beadcheck camera samples/bench-phone
  beadcheck camera
"""
SQUARE_MM: Final = 25.0
_FEWEST_CORNERS: Final = 3
_MOST_CORNERS: Final = 50
_LONGEST_NAME: Final = 80


def camera(
    photos: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="PHOTO",
            help="Five photos or more of one flat board, or a folder of them. Without any, the "
            "stored cameras are listed.",
            show_default=False,
        ),
    ] = None,
    *,
    target: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Target file of the board; our own card and strips are known without.",
        ),
    ] = None,
    chessboard: Annotated[
        str | None,
        typer.Option(
            metavar="9x6", help="The board is a chessboard with so many inner corners each way."
        ),
    ] = None,
    square: Annotated[
        float | None,
        typer.Option(metavar="MM", help="Side of the chessboard's squares; 25 unless said."),
    ] = None,
    name: Annotated[
        str | None, typer.Option(metavar="NAME", help="What to call the camera.")
    ] = None,
    show: Annotated[
        str | None, typer.Option(metavar="NAME", help="Show a stored camera, and stop.")
    ] = None,
    forget: Annotated[
        str | None, typer.Option(metavar="NAME", help="Delete a stored camera, and stop.")
    ] = None,
    store: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR", help="Folder of the stored cameras; a folder of your own unless said."
        ),
    ] = None,
    json: Annotated[
        bool, typer.Option("--json", help="Print JSON, and nothing else, on standard output.")
    ] = False,
) -> int:
    """Calibrate a phone's camera once, from photos of the card or of a chessboard.

    The calibration is kept by make and model; `beadcheck measure` uses it for photos from the same
    camera and lens. It narrows the uncertainty, and is never needed.
    """
    _refuse_conflicts(photos, target=target, chessboard=chessboard, square=square, name=name)
    _refuse_two_tasks(photos, show=show, forget=forget)
    corners = None if chessboard is None else _corners(chessboard)
    paths = photo_paths(photos) if photos else ()

    # From here on OpenCV is needed, which help and wrong usage must not wait for.
    from beadcheck.camera.calibrate import calibrate
    from beadcheck.camera.store import camera_folder

    folder = store or camera_folder(os.environ)
    if show is not None:
        _show(show, folder, json=json)
    elif forget is not None:
        _forget(forget, folder)
    elif not paths:
        _list(folder, json=json)
    else:
        board = _board(target, corners, square or SQUARE_MM)
        _keep_and_print(calibrate(paths, board, on=_today(), name=name), folder, json=json)
    return MEASURED


def _refuse_conflicts(
    photos: list[Path] | None,
    *,
    target: Path | None,
    chessboard: str | None,
    square: float | None,
    name: str | None,
) -> None:
    if target is not None and chessboard is not None:
        raise ConflictingFlagsError("--target", "--chessboard", "the photos show one board")
    if square is not None and chessboard is None:
        raise FlagNeedsFlagError("--square", "--chessboard")
    if square is not None and not 0.5 <= square <= 1000.0:
        mend = "Give the side of one square in millimetres, between 0.5 and 1000."
        raise BadFlagValueError("--square", f"{square:g}", mend)
    if name is not None and not (
        name.strip() and name.isprintable() and len(name) <= _LONGEST_NAME
    ):
        mend = f"Give a name of at most {_LONGEST_NAME} printable letters."
        raise BadFlagValueError("--name", name, mend)
    for flag, value in (("--target", target), ("--chessboard", chessboard), ("--name", name)):
        if value is not None and not photos:
            raise FlagNeedsFlagError(flag, "photos")


def _refuse_two_tasks(photos: list[Path] | None, *, show: str | None, forget: str | None) -> None:
    why = "one run does one thing"
    if show is not None and forget is not None:
        raise ConflictingFlagsError("--show", "--forget", why)
    for flag, value in (("--show", show), ("--forget", forget)):
        if value is not None and photos:
            raise ConflictingFlagsError(flag, "photos", why)


def _corners(text: str) -> tuple[int, int]:
    """Inner corners along and across, of words such as 9x6."""
    first, _, second = text.lower().replace("×", "x").partition("x")
    counts = [int(each) if each.strip().isdecimal() else 0 for each in (first, second)]
    if not all(_FEWEST_CORNERS <= count <= _MOST_CORNERS for count in counts):
        mend = (
            "Count the inner corners, where four squares meet, along and across, as in: "
            "--chessboard 9x6"
        )
        raise BadFlagValueError("--chessboard", text, mend)
    return counts[0], counts[1]


def _today() -> date:
    return datetime.now().astimezone().date()


def _board(target: Path | None, corners: tuple[int, int] | None, square_mm: float) -> "Board":
    from beadcheck.camera.card import Card
    from beadcheck.camera.chessboard import Chessboard
    from beadcheck.coupon import Coupon
    from beadcheck.target.catalogue import default_targets
    from beadcheck.target.read import read_target

    if corners is not None:
        return Chessboard(columns=corners[0], rows=corners[1], square_mm=square_mm)
    if target is not None:
        return Card(designs=(read_target(target),))
    return Card(designs=default_targets(Coupon()))


def _keep_and_print(done: "Calibration", folder: Path, *, json: bool) -> None:
    from beadcheck.camera.store import keep_camera
    from beadcheck.cli.camera_shown import calibration_json, calibration_words

    kept = keep_camera(done.camera, folder) if done.camera.recognisable else None
    put(calibration_json(done, kept) if json else calibration_words(done))
    if kept is None:
        tell(
            "Not stored: the photos do not say which camera took them. Give the files as the phone "
            "wrote them; messengers and editors drop that."
        )
    else:
        tell(
            f"Stored in {kept}. Photos from this camera and lens are measured with it from now on."
        )


def _list(folder: Path, *, json: bool) -> None:
    from beadcheck.camera.store import read_book
    from beadcheck.cli.camera_shown import cameras_json, cameras_words

    cameras = read_book(folder).cameras
    put(cameras_json(cameras) if json else cameras_words(cameras, folder))


def _show(name: str, folder: Path, *, json: bool) -> None:
    from beadcheck.camera.store import camera_called
    from beadcheck.cli.camera_shown import camera_json, camera_words

    stored = camera_called(name, folder)
    put(camera_json(stored) if json else camera_words(stored))


def _forget(name: str, folder: Path) -> None:
    from beadcheck.camera.store import forget_camera

    tell(f"Forgotten: {forget_camera(name, folder)}")
