"""Pictures without a weld, from outside this project and drawn here: no weld is found in them.

Outside: the pictures that scikit-image 0.26 ships inside its package (``skimage.data``, no
download): a brick wall, gravel, grass, coins, a camera man, an astronaut's face, a cat's, a cup of
coffee, a page of print. Verified: they are read from the installed package.
Drawn here, for want of free pictures: wood grain, a steel rule, a bare plate; ours, no source.
"""

from collections.abc import Callable
from typing import Final

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from skimage import data

from beadcheck.photo import Lens, Photo
from beadcheck.pipeline import Request
from beadcheck.pipeline.face import measure_face

SHIPPED: Final[dict[str, Callable[[], NDArray[np.uint8]]]] = {
    "brick wall": data.brick,
    "gravel": data.gravel,
    "grass": data.grass,
    "coins": data.coins,
    "camera man": data.camera,
    "face of an astronaut": data.astronaut,
    "face of a cat": data.chelsea,
    "cup of coffee": data.coffee,
    "page of print": data.page,
}
SIZE_PX: Final = (1600, 1200)


def wood_grain() -> NDArray[np.uint8]:
    """Boards side by side, their grain long, wavy and brown."""
    rng = np.random.default_rng(31)
    width, height = SIZE_PX
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    board = (y + 0.05 * x) // 290.0
    wave = 60.0 * np.sin(x / 410.0 + 2.1 * board) + 18.0 * np.sin(x / 97.0 + 0.7 * board)
    rings = np.sin((y + wave) / (9.0 + 2.0 * np.sin(board))) + 0.5 * np.sin((y + wave) / 3.7)
    fibre = cv2.blur(rng.normal(0.0, 26.0, (height, width)), (91, 1))
    light = 120.0 + 18.0 * rings + 4.0 * fibre + 14.0 * np.sin(3.0 * board)
    light[np.abs((y + 0.05 * x) % 290.0 - 1.0) < 3.0] = 35.0
    return bgr(light, (0.55, 0.78, 1.0))


def steel_rule() -> NDArray[np.uint8]:
    """A brushed rule with engraved marks, askew on a dark bench."""
    rng = np.random.default_rng(32)
    width, height = SIZE_PX
    light = 60.0 + cv2.GaussianBlur(rng.normal(0.0, 30.0, (height, width)), (0, 0), 3.0)
    brushed = 165.0 + cv2.blur(rng.normal(0.0, 25.0, (150, 1320)), (61, 1))
    rule = np.clip(brushed, 0.0, 255.0).astype(np.uint8)
    for mark in range(128):
        length = 60 if mark % 10 == 0 else 44 if mark % 5 == 0 else 28
        rule[150 - length :, 20 + 10 * mark : 23 + 10 * mark] = 40
    for number in range(13):
        where = (26 + 100 * number, 78)
        cv2.putText(rule, str(number), where, cv2.FONT_HERSHEY_SIMPLEX, 0.9, 40, 2, cv2.LINE_AA)
    turn = cv2.getRotationMatrix2D((660.0, 75.0), 8.0, 1.0)
    turn[:, 2] += np.array([800.0, 610.0]) - (660.0, 75.0)
    cv2.warpAffine(
        rule.astype(np.float64), turn, SIZE_PX, light, cv2.INTER_LINEAR, cv2.BORDER_TRANSPARENT
    )
    return bgr(cv2.GaussianBlur(light, (0, 0), 0.9), (1.0, 0.98, 0.96))


def bare_plate() -> NDArray[np.uint8]:
    """Ground steel with scratches and a lamp's soft highlight."""
    rng = np.random.default_rng(33)
    width, height = SIZE_PX
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    light = 110.0 + 5.0 * cv2.blur(rng.normal(0.0, 26.0, (height, width)), (121, 1))
    light += 70.0 * np.exp(-(((x - 980.0) / 420.0) ** 2) - ((y - 420.0) / 300.0) ** 2)
    for _ in range(40):
        ends = rng.uniform((0, 0), SIZE_PX, (2, 2))
        start, end = (tuple(map(int, each)) for each in (ends[0], ends[0] + 0.2 * ends[1]))
        cv2.line(light, start, end, float(rng.uniform(60.0, 190.0)), 1, cv2.LINE_AA)
    return bgr(light + rng.normal(0.0, 3.0, light.shape), (1.0, 0.99, 0.97))


DRAWN: Final = {"wood grain": wood_grain, "steel rule": steel_rule, "bare plate": bare_plate}


def bgr(light: NDArray[np.float64], tint: tuple[float, float, float]) -> NDArray[np.uint8]:
    return np.clip(light[..., None] * np.array(tint), 0.0, 255.0).astype(np.uint8)


def refusal_code(pixels_bgr: NDArray[np.uint8]) -> str:
    photo = Photo(file="x.png", pixels_bgr=np.ascontiguousarray(pixels_bgr), lens=Lens())
    face = measure_face(photo, Request(takes=(), without_target=True), ())
    assert face.refusal is not None, [(str(q.name), q.value) for q in face.quantities]
    assert face.quantities == ()
    return face.refusal.code


@pytest.mark.parametrize("name", SHIPPED)
@pytest.mark.parametrize("enlarged", [1, 3])
def test_a_picture_of_something_else_holds_no_weld(name: str, enlarged: int) -> None:
    picture = np.atleast_3d(SHIPPED[name]())
    rgb = np.repeat(picture, 3, axis=2) if picture.shape[2] == 1 else picture[..., :3]
    shown = cv2.resize(rgb, None, fx=enlarged, fy=enlarged, interpolation=cv2.INTER_CUBIC)
    # The camera man's tripod is a bright metal tube, as slender as a seam: it may be looked at but
    # not measured.
    refused = {"no_weld_found", "toes_unsure"} if name == "camera man" else {"no_weld_found"}
    assert refusal_code(shown[..., ::-1]) in refused


@pytest.mark.parametrize("name", DRAWN)
@pytest.mark.parametrize("quarter_turns", [0, 1])
def test_wood_a_rule_and_a_bare_plate_hold_no_weld(name: str, quarter_turns: int) -> None:
    assert refusal_code(np.rot90(DRAWN[name](), quarter_turns)) == "no_weld_found"
