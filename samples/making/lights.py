"""The light of a workshop, as a picture of the whole sphere around the coupon."""

from dataclasses import dataclass

import numpy as np

from samples.making.noise import Floats, Image

WIDTH_PX = 1024
WARM, NEUTRAL, COOL, SKY = (
    np.array([1.0, 0.78, 0.52]),
    np.array([1.0, 0.95, 0.88]),
    np.array([0.88, 0.97, 1.0]),
    np.array([0.72, 0.86, 1.0]),
)
BACKDROPS = ("wall", "dark", "window", "shop")
LIGHTINGS = ("tubes", "window", "lamp", "ring", "dim", "overcast", "flash")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sky:
    """Radiance seen from the coupon.

    Attributes
    ----------
    radiance
        (H, W, 3); row 0 looks along +z (out of the metal), the last row along -z; column c looks
        to azimuth 2 pi (c + 0.5) / W, from +x towards +y.
    """

    radiance: Image


def directions() -> Floats:
    """Unit vectors (H, W, 3) that the picture's pixels look along."""
    polar = (np.arange(WIDTH_PX // 2) + 0.5) / (WIDTH_PX // 2) * np.pi
    azimuth = (np.arange(WIDTH_PX) + 0.5) / WIDTH_PX * 2 * np.pi
    p, a = np.meshgrid(polar, azimuth, indexing="ij")
    return np.stack([np.sin(p) * np.cos(a), np.sin(p) * np.sin(a), np.cos(p)], axis=-1)


def make_sky(
    kind: str,
    rng: np.random.Generator,
    *,
    viewer_azimuth: float,
    backdrop: str | None = None,
    ahead: Floats | None = None,
) -> Sky:
    """Light the workshop; the viewer stands at an azimuth (radians) and darkens that side.

    A backdrop stands where the phone looks (`ahead`, a unit vector).
    """
    look = directions()
    sky = _room(look, rng, level=rng.uniform(0.25, 0.6))
    if kind == "tubes":
        _add_tubes(sky, look, rng, count=int(rng.integers(2, 5)), level=rng.uniform(12, 22))
    elif kind == "window":
        _add_window(sky, look, rng, level=rng.uniform(7, 14))
        if rng.random() < 0.5:
            _add_tubes(sky, look, rng, count=1, level=5)
    elif kind == "lamp":
        _add_disc(
            sky,
            look,
            rng,
            level=rng.uniform(60, 140),
            radius_deg=rng.uniform(3, 7),
            height_deg=rng.uniform(35, 65),
            tint=WARM,
        )
        _add_tubes(sky, look, rng, count=1, level=3)
    elif kind == "dim":
        sky *= 0.7
        _add_disc(
            sky,
            look,
            rng,
            level=rng.uniform(4, 9),
            radius_deg=rng.uniform(10, 18),
            height_deg=rng.uniform(30, 75),
            tint=WARM,
        )
    elif kind == "overcast":
        sky += 1.6 * np.clip(look[..., 2:3], 0, 1) * SKY
        _add_window(sky, look, rng, level=2.5)
    else:  # ring and flash: their lamps are near, so they stand in the scene as shapes
        _add_tubes(sky, look, rng, count=1, level=4)
    _stand(sky, look, rng, viewer_azimuth)
    if backdrop is not None and ahead is not None:
        _hang_backdrop(sky, look, rng, kind=backdrop, ahead=ahead)
    return Sky(radiance=sky.astype(np.float32))


def _room(look: Floats, rng: np.random.Generator, *, level: float) -> Floats:
    up = look[..., 2]
    azimuth = np.arctan2(look[..., 1], look[..., 0])
    waves = sum(
        rng.uniform(0.05, 0.3) * np.cos(k * azimuth + rng.uniform(0, 6.28)) for k in range(1, 7)
    )
    walls = np.exp(-((up / 0.45) ** 2)) * (1 + waves)
    ceiling = 0.55 * np.clip(up, 0, 1) ** 0.5
    # Roof beams: dark bars that shiny metal shows.
    x = look[..., 0] / np.maximum(up, 0.15)
    beams = 1 - 0.35 * (np.sin(x * rng.uniform(3, 7) + rng.uniform(0, 6.28)) > 0.75) * (up > 0.2)
    tint = np.array([1.0, rng.uniform(0.93, 1.0), rng.uniform(0.8, 1.05)])
    return level * ((np.clip(walls, 0, 3) + ceiling) * beams + 0.12)[..., None] * tint


def _soft_box(u: Floats, v: Floats, half_u: float, half_v: float, soft: float) -> Floats:
    inside_u = np.clip((half_u - np.abs(u)) / soft + 0.5, 0, 1)
    inside_v = np.clip((half_v - np.abs(v)) / soft + 0.5, 0, 1)
    return inside_u * inside_v


def _add_tubes(
    sky: Floats, look: Floats, rng: np.random.Generator, *, count: int, level: float
) -> None:
    turn = rng.uniform(0, np.pi)
    up = np.maximum(look[..., 2], 1e-3)
    px, py = look[..., 0] / up, look[..., 1] / up
    along = np.cos(turn) * px + np.sin(turn) * py
    across = -np.sin(turn) * px + np.cos(turn) * py
    first, gap = rng.uniform(-1.3, -0.2), rng.uniform(0.6, 1.1)
    tint = NEUTRAL if rng.random() < 0.6 else COOL
    for k in range(count):
        off = first + gap * k
        box = _soft_box(
            along - rng.uniform(-0.5, 0.5),
            across - off,
            rng.uniform(0.35, 0.6),
            rng.uniform(0.03, 0.07),
            0.02,
        )
        sky += level * (box * (look[..., 2] > 0.02))[..., None] * tint


def _add_window(sky: Floats, look: Floats, rng: np.random.Generator, *, level: float) -> None:
    turn = rng.uniform(0, 2 * np.pi)
    ahead = np.cos(turn) * look[..., 0] + np.sin(turn) * look[..., 1]
    beside = (-np.sin(turn) * look[..., 0] + np.cos(turn) * look[..., 1]) / np.maximum(ahead, 1e-3)
    height = look[..., 2] / np.maximum(ahead, 1e-3)
    middle = rng.uniform(0.6, 1.2)
    panes = np.zeros_like(ahead)
    for i in range(3):
        for j in range(2):
            panes += _soft_box(
                beside - 0.42 * (i - 1), height - middle - 0.5 * (j - 0.5), 0.18, 0.22, 0.02
            )
    sky += level * (panes * (ahead > 0.05))[..., None] * SKY


def _add_disc(
    sky: Floats,
    look: Floats,
    rng: np.random.Generator,
    *,
    level: float,
    radius_deg: float,
    height_deg: float,
    tint: Floats,
) -> None:
    azimuth, height = rng.uniform(0, 2 * np.pi), np.radians(height_deg)
    at = np.array(
        [np.cos(height) * np.cos(azimuth), np.cos(height) * np.sin(azimuth), np.sin(height)]
    )
    off = np.degrees(np.arccos(np.clip(look @ at, -1, 1)))
    disc = np.clip((radius_deg - off) / 1.2 + 0.5, 0, 1)
    halo = 0.02 * np.exp(-off / 12)
    sky += level * (disc + halo)[..., None] * tint


def _stand(sky: Floats, look: Floats, rng: np.random.Generator, azimuth: float) -> None:
    """Stand the person with the phone at their place: a dark shape up to half way overhead."""
    off = np.angle(np.exp(1j * (np.arctan2(look[..., 1], look[..., 0]) - azimuth)))
    height = np.arcsin(np.clip(look[..., 2], -1, 1))
    width = rng.uniform(0.35, 0.6)
    head = (off / width) ** 2 + ((height - 0.35) / rng.uniform(0.55, 0.75)) ** 2
    dark = np.clip((1.1 - head) / 0.25, 0, 1)[..., None]
    sky *= 1 - dark * rng.uniform(0.75, 0.93)


def _hang_backdrop(
    sky: Floats, look: Floats, rng: np.random.Generator, *, kind: str, ahead: Floats
) -> None:
    """Replace the room around a direction by what stands there; it is far out of focus."""
    turn = np.arctan2(ahead[1], ahead[0])
    beside = np.angle(np.exp(1j * (np.arctan2(look[..., 1], look[..., 0]) - turn)))
    height = np.arcsin(np.clip(look[..., 2], -1, 1))
    there = _soft_box(beside, height, 0.75, 0.75, 0.15)[..., None]
    tilt = 1 + rng.uniform(-0.25, 0.25) * beside + rng.uniform(-0.3, 0.3) * height
    tint = np.array([1.0, rng.uniform(0.94, 1.0), rng.uniform(0.85, 1.05)])
    if kind == "wall":
        picture = rng.uniform(0.9, 2.4) * tilt[..., None] * tint
    elif kind == "dark":
        picture = rng.uniform(0.02, 0.12) * tilt[..., None] * tint
    elif kind == "window":
        picture = np.full((*beside.shape, 3), rng.uniform(0.2, 0.5)) * tint
        first = rng.uniform(-0.2, 0.2)
        for column in range(-2, 3):
            for row in range(-1, 2):
                pane = _soft_box(
                    beside - first - 0.3 * column, height - 0.05 - 0.34 * row, 0.13, 0.15, 0.01
                )
                picture += rng.uniform(3, 7) * pane[..., None] * SKY
    else:  # a shop: cupboards, benches, a doorway, each of its own tone
        picture = rng.uniform(0.15, 0.5) * tilt[..., None] * tint
        for _ in range(9):
            box = _soft_box(
                beside - rng.uniform(-0.7, 0.7),
                height - rng.uniform(-0.3, 0.3),
                rng.uniform(0.04, 0.22),
                rng.uniform(0.05, 0.4),
                0.03,
            )
            tone = 10 ** rng.uniform(-1.4, 0.0) * rng.uniform(0.85, 1.05, 3)
            picture = picture + 0.9 * box[..., None] * (tone - picture)
    sky += there * (picture - sky)
