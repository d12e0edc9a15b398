"""A coin's published thickness, read from a line of light that climbs it.

The 1 euro is 23.25 mm across and 2.33 mm thick: Council Regulation (EU) No 729/2014, annex I (OJ L
194, 2.7.2014, p. 1). Verified in public text, at second hand: the Union's own summary of the rules
gives the diameter, collectors' lists of the regulation's numbers both; the annex was not at hand.
The thickness is that over the rims. That the faces lie 0.12 mm below them is assumed, and nothing
is asserted of it.

Pixels of the line: `cv2.projectPoints` (opencv-python 5.0, Apache-2.0) of where its sheet meets the
coin, a 5 mm key steel and the plate.
"""

import math

import cv2
import numpy as np
import pytest

from beadcheck.coupon import Coupon
from beadcheck.photo import Lens, Photo
from beadcheck.profiles.light_line import KnownStep, LightAngle, light_line_profiles
from beadcheck.quantity import COVERAGE_FACTOR, combined_standard_uncertainty
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.design import Marker, TargetDesign, rectangle_mm
from beadcheck.target.find import find_target

COIN_MM, RADIUS_MM = 2.33, 23.25 / 2
RIM_MM, SINK_MM = 1.2, 0.12
COIN_AT_MM, OFF_MIDDLE_MM = 0.7, 9.2
"""Where the line lies on the coin: off its middle, so that it is no longer there than on a weld."""
KEY_MM, KEY_AT_MM = 5.0, 21.0
SIZE_PX, FOCAL_PX = (1500, 1200), 2400.0
POSE = (0.11, -0.07, 0.05), (-3.0, 4.0, 171.0)
LIGHT_DEG, TURN = 46.0, 0.06
"""The sheet's angle to the plate's normal, and its line's slope against the direction across."""
LINE_PX = 1.7  # standard width
PLATE, LIT, PAPER, INK = 0.12, 0.5, 0.6, 0.03  # of full scale, linear
PAPER_MM, CARD_AT_MM = 0.1, (-47.0, -37.0)
FINE, SUPER = 20, 3  # pixels a mm of the print, and samples across a pixel


def chord_half_mm(radius_mm):
    """Half the length over which the line lies on a disc about the coin's middle."""
    return math.sqrt(radius_mm**2 - OFF_MIDDLE_MM**2)


def coin_and_key_mm(across_mm):
    """Height along the line: the coin in the middle, the key steel beyond it."""
    off = np.abs(across_mm - COIN_AT_MM)
    coin = np.where(off < chord_half_mm(RADIUS_MM - RIM_MM), COIN_MM - SINK_MM, COIN_MM)
    coin = np.where(off < chord_half_mm(RADIUS_MM), coin, 0.0)
    return np.where(np.abs(across_mm - KEY_AT_MM) < 5.0, KEY_MM, coin)


def strip_card():
    """Five markers in a row, beside the line's upper end."""
    return TargetDesign(
        name="test strip",
        dictionary="DICT_4X4_50",
        width_mm=100.0,
        height_mm=20.0,
        thickness_mm=PAPER_MM,
        markers=tuple(
            Marker(id=k, corners_mm=rectangle_mm(4.0 + 20.0 * k, 4.0, 12.0, 12.0)) for k in range(5)
        ),
    )


def projected(points):
    """Pixels of (N, 3) points: x along the plate, y across, z into the metal."""
    middle = (SIZE_PX[0] - 1) / 2, (SIZE_PX[1] - 1) / 2
    matrix = np.array([[FOCAL_PX, 0, middle[0]], [0, FOCAL_PX, middle[1]], [0, 0, 1.0]])
    px, _ = cv2.projectPoints(points, np.array(POSE[0]), np.array(POSE[1]), matrix, None)
    return px[:, 0]


def card_light(card):
    """Light of the printed card in the picture, and the share of each pixel that it covers."""
    print_px = np.full((int(card.height_mm * FINE), int(card.width_mm * FINE)), PAPER)
    book = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, card.dictionary))
    for marker in card.markers:
        side = round(12.0 * FINE)
        x, y = (round(v * FINE) for v in marker.corners_mm[0])
        bits = cv2.aruco.generateImageMarker(book, marker.id, side)
        print_px[y : y + side, x : x + side] = np.where(bits > 0, PAPER, INK)
    corners = np.array([[0, 0], [100, 0], [100, 20], [0, 20]], dtype=np.float64)
    on_plate = np.column_stack([corners + CARD_AT_MM, np.full(4, -PAPER_MM)])
    # Pixel centres: the middle of the first pixel is (0, 0) in either picture.
    to_px = cv2.getPerspectiveTransform(
        (corners * FINE - 0.5).astype(np.float32),
        (SUPER * (projected(on_plate) + 0.5) - 0.5).astype(np.float32),
    )
    size = (SUPER * SIZE_PX[0], SUPER * SIZE_PX[1])
    sheets = [
        cv2.warpPerspective(each, to_px, size, flags=cv2.INTER_LINEAR)
        for each in (print_px, np.ones_like(print_px))
    ]
    return [cv2.resize(each, SIZE_PX, interpolation=cv2.INTER_AREA) for each in sheets]


def line_light():
    """Light of the line in the picture, row by row, where OpenCV projects it."""
    across = np.arange(-42.0, 42.0, 0.01)
    height = coin_and_key_mm(across)
    slope = math.tan(math.radians(LIGHT_DEG)) * math.hypot(1.0, TURN)
    px = projected(np.stack([1.3 + TURN * across + slope * height, across, -height], axis=1))
    line = np.zeros(SIZE_PX[::-1])
    columns = np.arange(SIZE_PX[0])
    for level in np.unique(height):
        own = px[height == level]
        for piece in np.split(own, np.flatnonzero(np.diff(own[:, 1]) > 1.0) + 1):
            rows = np.arange(math.ceil(piece[0, 1]), math.floor(piece[-1, 1]) + 1)
            rows = rows[(rows >= 0) & (rows < SIZE_PX[1])]
            x = np.interp(rows, piece[:, 1], piece[:, 0])
            line[rows] += np.exp(-0.5 * ((columns - x[:, None]) / LINE_PX) ** 2)
    return line


def photo_of_coin(card):
    """Put plate, card and line together, with noise and the sRGB curve."""
    random = np.random.default_rng(5)
    grain = cv2.GaussianBlur(random.standard_normal(SIZE_PX[::-1]), (0, 0), 1.5)
    printed, covered = card_light(card)
    light = PLATE * (1.0 + 0.5 * grain) * (1.0 - covered) + printed
    bgr = light[..., None] + LIT * line_light()[..., None] * np.array([0.02, 0.05, 1.0])
    bgr = cv2.GaussianBlur(bgr, (0, 0), 0.8) + 0.004 * random.standard_normal(bgr.shape)
    bgr = np.clip(bgr, 0.0, 1.0)
    coded = np.where(bgr <= 0.0031308, 12.92 * bgr, 1.055 * bgr ** (1 / 2.4) - 0.055)
    film_mm = FOCAL_PX * math.hypot(24.0, 36.0) / math.hypot(*SIZE_PX)
    return Photo(
        file="coin.png",
        pixels_bgr=np.round(255.0 * coded).astype(np.uint8),
        lens=Lens(focal_35mm_mm=film_mm),
    )


@pytest.fixture(scope="module")
def coin():
    """Return the photo of the coin, and its surface as solved from the card in it."""
    card = strip_card()
    photo = photo_of_coin(card)
    scale = PrintScale(ratio=1.0, u_ratio=0.0014)
    return photo, solve_surface(find_target(photo, [card]), photo, Coupon(), scale)


def key_px():
    """Where a person taps on the key: its middle, under the line. A coin is as flat as a step."""
    slope = math.tan(math.radians(LIGHT_DEG)) * math.hypot(1.0, TURN)
    on_key = [1.3 + TURN * KEY_AT_MM + slope * KEY_MM, KEY_AT_MM, -KEY_MM]
    x, y = projected(np.array([on_key]))[0]
    return float(x), float(y)


@pytest.mark.parametrize(
    "light",
    [
        LightAngle(angle_deg=LIGHT_DEG, u_angle_deg=0.5),
        KnownStep(thickness_mm=KEY_MM, place_px=key_px()),
    ],
    ids=["known angle", "known step"],
)
def test_the_rim_of_a_1_euro_coin_stands_as_high_as_the_regulation_says(coin, light):
    photo, surface = coin
    (profile,) = light_line_profiles(photo, surface, light)
    across, height = profile.across_mm, profile.height_mm
    coin_at = np.flatnonzero((height > COIN_MM / 2) & (height < KEY_MM - 1.0))
    low, high = across[coin_at[[0, -1]]]
    half = 0.5 * (high - low)
    off = np.abs(across - 0.5 * (low + high))
    bare = (off > half + 1.0) & (off < half + 5.0) & np.isfinite(height)
    level = height - np.polyval(np.polyfit(across[bare], height[bare], 1), across)
    rim = (off < half - 0.2) & (off > chord_half_mm(RADIUS_MM - RIM_MM) + 0.3)
    value_mm = float(np.nanmean(level[rim]))
    own = float(np.nanmedian(profile.u_height_mm[rim]))
    gain = combined_standard_uncertainty(profile.gain_budget) * COIN_MM
    form = combined_standard_uncertainty(profile.form_budget)
    expanded_mm = COVERAGE_FACTOR * math.hypot(own, gain, form)
    assert abs(value_mm - COIN_MM) <= min(expanded_mm, 0.10)
    # An uncertainty that covers everything says nothing.
    assert expanded_mm < 0.15
