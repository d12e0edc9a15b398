"""From photos of a flat board to a calibrated camera."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from beadcheck.camera.book import CalibratedCamera, same_lens
from beadcheck.camera.bundle import Bundle, bundled
from beadcheck.camera.checks import require_held, spread_deg
from beadcheck.camera.lens import Camera
from beadcheck.camera.prior import camera_of
from beadcheck.camera.view import Board, BoardView
from beadcheck.errors import BeadcheckError
from beadcheck.errors.camera import (
    BoardMovedError,
    MirroredPhotoError,
    MixedCamerasError,
    OtherBoardError,
    TooFewCameraPhotosError,
    ViewsTooAlikeError,
)
from beadcheck.photo import Lens, Photo, read_photo

FEWEST_PHOTOS: Final = 5
"""Each gives about two conditions on the camera's five figures (homography: 8, less a pose's 6)."""
MOVED_RATIO: Final = 3.0
MOVED_PX: Final = 0.3
"""A photo counts as of a moved or bent board where it misses by this, and by the ratio more than
what is usual."""
LEAST_SPREAD_DEG: Final = 15.0
"""Views nearer together than this tell the focal length to some percent at best."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewReport:
    """What one photo gave.

    Attributes
    ----------
    refusal
        Why it was left out; None where it was used.
    residual_px
        Root mean square distance from the solved places; None where it was left out.
    tilt_deg
        Between the optical axis and the board's normal; None where it was left out.
    """

    file: str
    refusal: BeadcheckError | None = None
    residual_px: float | None = None
    tilt_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A calibrated camera, and what each photo gave.

    Attributes
    ----------
    spread_deg
        Widest angle between two of the directions from which the board was seen.
    """

    camera: CalibratedCamera
    spread_deg: float
    views: tuple[ViewReport, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Taken:
    """A photo that shows the board: its place among the given ones, and all but its pixels."""

    place: int
    file: str
    lens: Lens
    size_px: tuple[int, int]
    view: BoardView
    guess_px: float


def calibrate(
    paths: Sequence[Path], board: Board, *, on: date, name: str | None = None
) -> Calibration:
    """Calibrate the camera that took photos of a board.

    A photo that does not show the board, or whose board moved, is left out and reported.

    Parameters
    ----------
    on
        The day to be kept with the figures.
    name
        What to call the camera; make, model and lens where None.

    Raises
    ------
    CameraError
        Too few photos can be used, they are of different cameras, or they do not hold its figures.
    """
    taken: list[_Taken] = []
    refusals: dict[int, BeadcheckError] = {}
    for place, path in enumerate(paths):
        try:
            taken.append(_taken(place, read_photo(path), board, taken))
        except MixedCamerasError:
            raise
        except BeadcheckError as refusal:
            refusals[place] = refusal
    solved = _bundled(taken, refusals, len(paths))
    used = [each for each in taken if each.place not in refusals]
    require_held(solved, used[0].size_px)
    return Calibration(
        camera=_calibrated(used, solved, on=on, name=name),
        spread_deg=spread_deg(solved),
        views=_reports(paths, used, refusals, solved),
    )


def _taken(place: int, photo: Photo, board: Board, before: Sequence[_Taken]) -> _Taken:
    """Find the board; refuse a photo that cannot be joined to those before it."""
    lens = photo.lens
    if lens.quarter_turns is None:
        raise MirroredPhotoError
    view, size_px = board.view(photo).as_read(photo)
    taken = _Taken(
        place=place,
        file=photo.file,
        lens=lens,
        size_px=size_px,
        view=view,
        guess_px=camera_of(photo).focal_px,
    )
    if before:
        first = before[0]
        if _words(first) != _words(taken) or not same_lens(
            first.lens.focal_35mm_mm, lens.focal_35mm_mm
        ):
            raise MixedCamerasError(first.file, _words(first), photo.file, _words(taken))
        if view.board != first.view.board:
            raise OtherBoardError(view.board, first.view.board)
    return taken


def _words(taken: _Taken) -> str:
    """Camera, lens and size in words."""
    lens = taken.lens
    maker = " ".join(word for word in (lens.make, lens.model) if word) or "an unnamed camera"
    focal = "" if lens.focal_35mm_mm is None else f" at {lens.focal_35mm_mm:g} mm"
    return f"by {maker}{focal}, {taken.size_px[0]} x {taken.size_px[1]} px"


def _bundled(taken: Sequence[_Taken], refusals: dict[int, BeadcheckError], given: int) -> Bundle:
    """Solve; leave out, one by one, photos that the others contradict, and add them to refusals."""
    while True:
        used = [each for each in taken if each.place not in refusals]
        if len(used) < FEWEST_PHOTOS:
            first = next(iter(refusals.values()), None)
            raise TooFewCameraPhotosError(
                len(used), given, FEWEST_PHOTOS, "" if first is None else first.reason
            )
        views = [each.view for each in used]
        solved = bundled(views, used[0].size_px, focal_px=used[0].guess_px)
        seen_deg = 0.0 if solved is None else spread_deg(solved)
        if solved is None or seen_deg < LEAST_SPREAD_DEG:
            raise ViewsTooAlikeError(seen_deg, LEAST_SPREAD_DEG)
        worst = int(solved.residual_px.argmax())
        usual_px = float(np.median(solved.residual_px))
        worst_px = float(solved.residual_px[worst])
        if worst_px <= max(MOVED_PX, MOVED_RATIO * usual_px):
            return solved
        refusals[used[worst].place] = BoardMovedError(worst_px, usual_px)


def _reports(
    paths: Sequence[Path],
    used: Sequence[_Taken],
    refusals: dict[int, BeadcheckError],
    solved: Bundle,
) -> tuple[ViewReport, ...]:
    reports = {
        place: ViewReport(file=paths[place].name, refusal=refusal)
        for place, refusal in refusals.items()
    }
    for each, pose, residual_px in zip(used, solved.poses, solved.residual_px, strict=True):
        tilt_deg = float(np.degrees(np.arccos(np.clip(abs(pose.rotation[2, 2]), 0.0, 1.0))))
        reports[each.place] = ViewReport(
            file=each.file, residual_px=float(residual_px), tilt_deg=tilt_deg
        )
    return tuple(reports[place] for place in range(len(paths)))


def _calibrated(
    used: Sequence[_Taken], solved: Bundle, *, on: date, name: str | None
) -> CalibratedCamera:
    u_focal, u_x, u_y, u_k1, u_k2 = np.sqrt(np.diag(solved.covariance)).tolist()
    lens, (width_px, height_px) = used[0].lens, used[0].size_px
    return CalibratedCamera(
        name=name or _usual_name(lens),
        make=lens.make,
        model=lens.model,
        focal_35mm_mm=lens.focal_35mm_mm,
        width_px=width_px,
        height_px=height_px,
        calibrated_on=on,
        photo_count=len(used),
        residual_px=float(np.sqrt((solved.residual_px**2).mean())),
        camera=Camera(
            focal_px=solved.focal_px,
            centre_px=(float(solved.centre_px[0]), float(solved.centre_px[1])),
            k1=solved.k1,
            k2=solved.k2,
            u_focal_px=u_focal * solved.focal_px,
            u_centre_px=max(u_x, u_y),
            u_k1=u_k1,
            u_k2=u_k2,
        ),
    )


def _usual_name(lens: Lens) -> str:
    words = [word for word in (lens.make, lens.model) if word] or ["unnamed camera"]
    focal = [] if lens.focal_35mm_mm is None else [f"{lens.focal_35mm_mm:g} mm"]
    return " ".join([*words, *focal])
