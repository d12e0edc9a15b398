"""The photo, large, on which a person places a toe."""

import json
from collections.abc import Mapping
from typing import Final

import numpy as np

from beadcheck.quantity import Side
from beadcheck.result import StationRecord
from beadcheck.toes import HandToes
from beadcheck_page.correcting import photos_to_correct, tap_shares
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Outcome
from beadcheck_page.show.markup import text

NUDGES = (("←", "left", -1, 0), ("→", "right", 1, 0), ("↑", "up", 0, -1), ("↓", "down", 0, 1))
HOW_TO_CORRECT: Final = (
    "Choose the toe, then tap along it where it really runs: two points or more."
)
HOW_TO_PLACE: Final = (
    "Tap along one toe, two points or more. Then choose the other toe, and do the same."
)
WHAT_COUNTS: Final = (
    "From your first to your last point your line counts, and snaps to an edge close by. "
    "Elsewhere the found toe stays."
)
WHAT_IS_MEASURED: Final = (
    "The weld is measured where both your lines run; they snap to an edge close by."
)
STYLES = {Side.LEFT: "long dashes", Side.RIGHT: "dots"}


def panel_words(*, found: bool) -> str:
    """Name of the panel, and of the button that opens it."""
    return "Correct a toe" if found else "Place both toes"


def correcting_boards(outcome: Outcome | None, hand: Mapping[str, HandToes]) -> str:
    """Markup of a board for each photo that can be corrected, folded until it is asked for."""
    if outcome is None:
        return ""
    shown = {photo.key for photo in photos_to_correct(outcome)}
    return "".join(
        _board(outcome, index, hand.get(photo.key))
        for index, photo in enumerate(outcome.photos)
        if photo.key in shown
    )


def _board(outcome: Outcome, index: int, hand: HandToes | None) -> str:
    photo = outcome.photos[index]
    stations = [each for each in outcome.result.stations if each.photo == index]
    found = bool(stations)
    of = f": {text(photo.name)}" if len(outcome.photos) > 1 else ""
    return (
        f'<section class="bc-correct" data-photo="{photo.key}" hidden '
        f'aria-labelledby="correct-{photo.key}" data-found="{text(_found(stations, photo))}" '
        f'data-hand="{text(_placed(hand, photo))}">'
        f'<h2 id="correct-{photo.key}" tabindex="-1">{panel_words(found=found)}{of}</h2>'
        f"<p>{HOW_TO_CORRECT if found else HOW_TO_PLACE}</p>"
        f"{_choice(photo, found=found)}{_tools()}{_view(outcome, index)}{_point_tools()}"
        '<p class="bc-told" role="status"></p>'
        '<p class="bc-source">With gloves: move the picture until the toe lies under the cross, '
        f"then press “Point at the cross”. {WHAT_COUNTS if found else WHAT_IS_MEASURED}</p>"
        '<button type="button" class="bc-small" data-close>Close without measuring</button>'
        "</section>"
    )


def _choice(photo: StoredPhoto, *, found: bool) -> str:
    names = (
        {side: f"{side.value.capitalize()} toe" for side in Side}
        if found
        else {Side.LEFT: "One toe", Side.RIGHT: "Other toe"}
    )
    choices = "".join(
        f'<label><input type="radio" name="toe-{photo.key}" value="{side.value}"'
        f"{' checked' if side is Side.LEFT else ''}> {name}"
        f"{_sample(side) if found else ''}</label>"
        for side, name in names.items()
    )
    return f'<fieldset class="bc-which"><legend>Which toe?</legend>{choices}</fieldset>'


def _sample(side: Side) -> str:
    line = f'x1="3" y1="7" x2="57" y2="7" class="bc-toe-{side.value}"'
    return (
        f'<svg class="bc-line-sample" viewBox="0 0 60 14" width="60" height="14" role="img" '
        f'aria-label="drawn with {STYLES[side]}"><line {line}/></svg>'
    )


def _tools() -> str:
    return (
        '<div class="bc-tools"><button type="button" class="bc-small" data-zoom="-1">Smaller'
        '</button><output class="bc-zoom"></output>'
        '<button type="button" class="bc-small" data-zoom="1">Larger</button></div>'
    )


def _view(outcome: Outcome, index: int) -> str:
    photo = outcome.photos[index]
    address = f"/results/{outcome.key}/{outcome.large_name(index)}"
    return (
        '<div class="bc-frame"><div class="bc-view" tabindex="0" role="group" '
        'aria-label="Your photo; the arrow keys move it"><div class="bc-stage">'
        f'<img src="{address}" loading="lazy" width="{photo.width_px}" height="{photo.height_px}" '
        f'alt="{text(photo.name)}, to tap on" draggable="false">'
        '<svg viewBox="0 0 1000 1000" preserveAspectRatio="none" aria-hidden="true"></svg>'
        '<div class="bc-marks"></div></div></div><span class="bc-cross" aria-hidden="true"></span>'
        "</div>"
    )


def _point_tools() -> str:
    nudges = "".join(
        f'<button type="button" class="bc-small" data-nudge="{x},{y}" '
        f'aria-label="Move the point a little {way}">{sign}</button>'
        for sign, way, x, y in NUDGES
    )
    return (
        '<div class="bc-tools"><button type="button" class="bc-small" data-add>Point at the cross'
        '</button><button type="button" class="bc-small" data-undo>Undo</button></div>'
        f'<div class="bc-tools" role="group" aria-label="Move the chosen point">{nudges}</div>'
        '<div class="bc-tools"><button type="button" class="bc-small" data-wipe>Clear this toe'
        "</button></div>"
    )


def _found(stations: list[StationRecord], photo: StoredPhoto) -> str:
    """Both toes as they stand, to be drawn, and the weld's width, as shares of the photo's."""
    if not stations:
        return json.dumps({"left": [], "right": [], "width": 0.0})
    left = np.array([each.left_toe_px for each in stations])
    right = np.array([each.right_toe_px for each in stations])
    width_px = float(np.median(np.hypot(*(right - left).T)))
    return json.dumps(
        {
            "left": tap_shares(left, photo),
            "right": tap_shares(right, photo),
            "width": width_px / photo.width_px,
        }
    )


def _placed(hand: HandToes | None, photo: StoredPhoto) -> str:
    points = {
        side.value: [] if hand is None else tap_shares(points_px, photo)
        for side, points_px in (
            (Side.LEFT, np.empty((0, 2)) if hand is None else hand.left_px),
            (Side.RIGHT, np.empty((0, 2)) if hand is None else hand.right_px),
        )
    }
    return json.dumps(points)
