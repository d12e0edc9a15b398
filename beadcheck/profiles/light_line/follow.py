"""From a rough line in the map to sub-pixel places in the photo, row by row across the weld."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, median_filter

from beadcheck.errors.profile_light import LineBlurredError, NoLightLineError
from beadcheck.photo import Photo
from beadcheck.photo.picture import LUMINANCE_BGR, linear_bgr
from beadcheck.profiles.light_line.centre import Centres, edge_centres, line_centres
from beadcheck.profiles.light_line.evidence import LightKind
from beadcheck.profiles.light_line.search import LEAST_LENGTH_MM, RoughLine
from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

LEAST_PITCH_MM: Final = 0.04
"""Rows nearer than this see the same light and tell nothing new."""
FIRST_LINE_MM: Final = (0.2, 1.8)
FIRST_EDGE_MM: Final = (0.12, 1.0)
"""Width that is expected at first, and how far to both sides the first look reaches."""
EDGE_ROWS_MM: Final = 0.12
"""Standard deviation of the window, along the edge of a shadow, over which grain is averaged."""
FIRST_ROWS: Final = 3
"""A first look at every third row."""
REACH_SIGMAS: Final = 4.0
REACH_LIMITS_MM: Final = (0.6, 2.4)
SAMPLES: Final = 41
GAP_MM: Final = 1.0
"""A row this near to evidence of light is looked at."""
WIDEST_SIGMA_MM: Final = 0.6
"""Beyond it texture moves the middle of a line by more than 0.1 mm (accuracy study, 2.4)."""
LEAST_CONTRAST: Final = 4.0
"""Height of the line over what the fit leaves: below it, it is texture."""
SUREST_SHARE: Final = 0.5
"""The surest rows tell the usual width."""
MOST_TREMBLE_MM: Final = 0.08
"""A line of light trembles less from row to row; tint, print and rust tremble thrice as much."""
MOST_U_MM: Final = 0.12
STRANGE_LINE: Final = 2.5
STRANGE_EDGE: Final = 1.7
"""A row whose light is so many times wider or narrower than usual shows something else: a ripple's
edge is sharper than the shadow's."""
STRAY_MM: Final = 0.25
NEIGHBOURS_MM: Final = 0.6
"""A row that lies further than `STRAY_MM` from the median of its neighbours is stray."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FollowedLine:
    """Places of the light in N rows across the weld.

    Attributes
    ----------
    across_mm
        (N,) apparent places of the rows across the axis, evenly growing.
    s_mm, u_s_mm
        (N,) apparent place along the axis, as if on the bare metal, and its standard uncertainty.
    points_px
        (N, 2) where the light was seen.
    good
        (N,) bool: there is light and it is clean.
    sigma_mm
        Usual standard deviation of the line, or of its edge.
    lean
        Width across, as seen on the metal, of an upright flank 1 mm high beside the weld.
    """

    rough: RoughLine
    across_mm: Floats
    s_mm: Floats
    u_s_mm: Floats
    points_px: Points
    good: Mask
    sigma_mm: float
    lean: float

    @property
    def pitch_mm(self) -> float:
        """Distance of two rows."""
        return float(self.across_mm[1] - self.across_mm[0])


def followed_line(photo: Photo, surface: SolvedSurface, rough: RoughLine) -> FollowedLine:
    """Place the light in the photo's own pixels.

    Raises
    ------
    NoLightLineError
        Hardly any of it is clean light.
    LineBlurredError
        The line is too wide to be placed well.
    """
    pitch_mm = max(1.0 / surface.px_per_mm, LEAST_PITCH_MM)
    lit_mm = rough.across_mm[rough.seen]
    across_mm = np.arange(lit_mm[0], lit_mm[-1] + pitch_mm, pitch_mm)
    s_mm, sigma_mm = _first_look(photo, surface, rough, across_mm)
    reach_mm = float(np.clip(REACH_SIGMAS * sigma_mm, *REACH_LIMITS_MM))
    centres, inside = _centres(photo, surface, rough, across_mm, s_mm, sigma_mm, reach_mm)
    good = _near_light(rough, across_mm) & inside & _clean(centres, reach_mm, rough.kind)
    if good.any():
        s_mm, good = _without_strays(across_mm, s_mm + centres.at, good, pitch_mm)
        sigma_mm = float(np.median(centres.sigma[good])) if good.any() else sigma_mm
    if float(good.sum()) * pitch_mm < LEAST_LENGTH_MM:
        raise NoLightLineError
    if not rough.kind.is_edge and _trembles_mm(s_mm[good]) > MOST_TREMBLE_MM:
        raise NoLightLineError
    if sigma_mm > WIDEST_SIGMA_MM:
        raise LineBlurredError(sigma_mm, WIDEST_SIGMA_MM)
    places_mm = rough.axis.to_surface(s_mm, across_mm)
    return FollowedLine(
        rough=rough,
        across_mm=across_mm,
        s_mm=s_mm,
        u_s_mm=centres.u_at,
        points_px=surface.to_px(places_mm),
        good=good,
        sigma_mm=sigma_mm,
        lean=_lean(surface, rough, np.median(places_mm[good], axis=0, keepdims=True)),
    )


def _lean(surface: SolvedSurface, rough: RoughLine, place_mm: Points) -> float:
    """Width across, as seen on the metal, of an upright flank 1 mm high at one place, (1, 2)."""
    top_px = surface.seen_at_px(surface.in_space(place_mm, 1.0))
    seen_mm = rough.axis.to_weld(np.concatenate([place_mm, surface.to_mm(top_px)]))
    return float(abs(seen_mm[1, 1] - seen_mm[0, 1]))


def _trembles_mm(s_mm: Floats) -> float:
    """How far each row's place usually lies off its two neighbours'."""
    return float(np.median(np.abs(np.diff(s_mm, 2))))


def _first_look(
    photo: Photo, surface: SolvedSurface, rough: RoughLine, across_mm: Floats
) -> tuple[Floats, float]:
    """Places along the axis from some of the rows, and the usual width."""
    some_mm = across_mm[::FIRST_ROWS]
    s_mm = np.interp(some_mm, rough.across_mm, rough.s_mm)
    first_mm, reach_mm = FIRST_EDGE_MM if rough.kind.is_edge else FIRST_LINE_MM
    centres, inside = _centres(photo, surface, rough, some_mm, s_mm, first_mm, reach_mm)
    good = _near_light(rough, some_mm) & inside & _clean(centres, reach_mm, rough.kind)
    if good.any():
        pitch_mm = float(some_mm[1] - some_mm[0])
        s_mm, good = _without_strays(some_mm, s_mm + centres.at, good, pitch_mm)
    sigma_mm = float(np.median(centres.sigma[good])) if good.any() else first_mm
    return np.interp(across_mm, some_mm, s_mm), sigma_mm


def _near_light(rough: RoughLine, across_mm: Floats) -> Mask:
    lit_mm = rough.across_mm[rough.seen]
    after = np.clip(np.searchsorted(lit_mm, across_mm), 1, lit_mm.size - 1)
    nearest = np.minimum(np.abs(across_mm - lit_mm[after - 1]), np.abs(lit_mm[after] - across_mm))
    return np.asarray(nearest < GAP_MM)


def _centres(
    photo: Photo,
    surface: SolvedSurface,
    rough: RoughLine,
    across_mm: Floats,
    s_mm: Floats,
    sigma_mm: float,
    reach_mm: float,
) -> tuple[Centres, Mask]:
    at_mm = np.linspace(-reach_mm, reach_mm, SAMPLES)
    nodes_mm = rough.axis.to_surface(
        s_mm[:, None] + reach_mm * np.array([-1.0, 0.0, 1.0]), across_mm[:, None]
    )
    # Over a few millimetres a parabola follows perspective and lens to a millionth of a pixel.
    nodes_px = surface.to_px(nodes_mm).reshape(across_mm.size, 3, 1, 2)
    share = (at_mm / reach_mm)[:, None]
    places_px = (
        0.5 * share * (share - 1.0) * nodes_px[:, 0]
        + (1.0 - share**2) * nodes_px[:, 1]
        + 0.5 * share * (share + 1.0) * nodes_px[:, 2]
    )
    light, inside = _light(photo, places_px)
    kind = rough.kind
    if kind.is_edge:
        pitch_mm = float(across_mm[1] - across_mm[0])
        grey = gaussian_filter1d(light @ np.array(LUMINANCE_BGR), EDGE_ROWS_MM / pitch_mm, axis=0)
        sign = 1.0 if kind is LightKind.EDGE_RISING else -1.0
        return edge_centres(at_mm, grey, sign, sigma_mm), inside
    return line_centres(at_mm, light, kind, sigma_mm), inside


def _light(photo: Photo, places_px: Floats) -> tuple[Floats, Mask]:
    """(N, T, 3) linear light at (N, T, 2) places, and which rows lie in the photo."""
    limit = np.array([photo.width_px - 1, photo.height_px - 1])
    with np.errstate(invalid="ignore"):
        inside = np.all((places_px >= 0.0) & (places_px <= limit), axis=(1, 2))
    if not inside.any():
        return np.zeros((*places_px.shape[:2], 3)), inside
    low = np.floor(places_px[inside].min(axis=(0, 1))).astype(int)
    high = np.ceil(places_px[inside].max(axis=(0, 1))).astype(int) + 1
    part = linear_bgr(photo.pixels_bgr[low[1] : high[1], low[0] : high[0]])
    local = np.where(inside[:, None, None], places_px - low, 0.0).astype(np.float32)
    light = cv2.remap(
        part, local[..., 0], local[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(light, dtype=np.float64), inside


def _clean(centres: Centres, reach_mm: float, kind: LightKind) -> Mask:
    sure = centres.u_at <= np.quantile(centres.u_at, SUREST_SHARE)
    usual = float(np.median(centres.sigma[sure]))
    clean = (centres.contrast > LEAST_CONTRAST) & (centres.u_at < MOST_U_MM)
    clean &= np.abs(centres.at) < 0.85 * reach_mm
    width = centres.sigma / usual
    strange = STRANGE_EDGE if kind.is_edge else STRANGE_LINE
    return np.asarray(clean & (width < strange) & (width > 1.0 / strange))


def _without_strays(
    across_mm: Floats, s_mm: Floats, good: Mask, pitch_mm: float
) -> tuple[Floats, Mask]:
    """Places with bad rows bridged, and which rows agree with their neighbours."""
    bridged = np.interp(across_mm, across_mm[good], s_mm[good])
    size = 2 * round(0.5 * NEIGHBOURS_MM / pitch_mm) + 1
    middle = median_filter(bridged, size=size, mode="nearest")
    good = good & (np.abs(s_mm - middle) < STRAY_MM)
    if not good.any():
        return bridged, good
    return np.interp(across_mm, across_mm[good], s_mm[good]), good
