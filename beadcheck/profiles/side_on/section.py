"""The profile of a weld from the points of its outline."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.profile import Profile, ProfileMethod
from beadcheck.profiles.side_on.band import px_per_mm_at
from beadcheck.profiles.side_on.bare_limb import DRIFT_MM, BareLimb
from beadcheck.profiles.side_on.budget import height_over, side_on_budget
from beadcheck.profiles.side_on.edge import OutlineEdge
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.quantity import Component, Scope
from beadcheck.surface import Points

Floats = NDArray[np.float64]

FADED_MM: Final = 0.25
"""By how much shading on the metal is taken for its outline where that cannot be seen (renders)."""
GRID_PX: Final = 1.5
FINEST_GRID_MM: Final = 0.05
NEAREST_GRID: Final = 1.0
"""In grid steps: where no clear point of the outline is nearer than this, nothing was seen."""


def crest_px(edge: OutlineEdge, weld_mm: tuple[float, float]) -> Points:
    """(1, 2) pixel of the weld's point that lies farthest off the bare pipe."""
    on_weld = edge.sure & (edge.along_mm >= weld_mm[0]) & (edge.along_mm <= weld_mm[1])
    crest = np.where(on_weld, np.abs(edge.height_mm), -1.0).argmax()
    return np.asarray(edge.points_px[crest][None])


def section_of(
    view: LimbView,
    edge: OutlineEdge,
    limb: BareLimb,
    weld_mm: tuple[float, float],
    *,
    faded_share: float,
) -> Profile:
    """Heights over the line midway between the bare limbs of both sides.

    A step between the sides stays: half of it on either side.

    Parameters
    ----------
    faded_share
        Share of the outline that fades into the background.
    """
    px_per_mm = px_per_mm_at(view, limb.middle_mm)
    sure = np.flatnonzero(edge.sure)
    order = sure[np.argsort(edge.along_mm[sure], kind="stable")]
    place_mm = edge.along_mm[order]
    grid_mm = max(FINEST_GRID_MM, GRID_PX / px_per_mm)
    along_mm = np.arange(place_mm[0], place_mm[-1], grid_mm)
    after = np.searchsorted(place_mm, along_mm).clip(1, place_mm.size - 1)
    near_mm = np.minimum(along_mm - place_mm[after - 1], place_mm[after] - along_mm)
    seen = np.abs(near_mm) <= NEAREST_GRID * grid_mm
    raw_mm = np.interp(along_mm, place_mm, edge.height_mm[order])
    u_px = np.interp(along_mm, place_mm, edge.u_px[order])
    base_mm = limb.between_mm(along_mm)
    height_mm = height_over(view.radius_mm, raw_mm, base_mm)
    # Texture and rough metal move an edge more than noise does: the bare limb tells how much more.
    u_mm = u_px * max(1.0 / px_per_mm, limb.scatter_mm / limb.u_px)
    independent_mm = 2.0 * math.sqrt(math.pi) * edge.mean_px / px_per_mm
    # As if there were one kind of error, whose mean over a length is as uncertain as both kinds'.
    square, drift = u_mm**2, limb.drift_mm**2
    usual = float(np.median(square))
    alike_mm = (usual * independent_mm + drift * DRIFT_MM) / (usual + drift)
    # An edge is known along its own normal; on a flank that is more in height.
    u_mm = np.sqrt(square + drift) * np.hypot(1.0, np.gradient(height_mm, along_mm))

    budget = side_on_budget(view, along_mm=limb.middle_mm, px_per_mm=px_per_mm)
    crest = crest_px(edge, weld_mm)
    touch_mm = view.touching_mm(crest)
    clock_deg = float(view.surface.clock_deg(touch_mm)[0])
    seen_px = view.pixels(along_mm, raw_mm)
    # The expected square of an angle that is known no better than by its uncertainty.
    square = np.tan(view.oblique_rad(seen_px)) ** 2 + budget.u_oblique_rad**2
    envelopes_mm = view.radius_mm * square
    return Profile(
        method=ProfileMethod.SIDE_ON,
        s_mm=float(touch_mm[0, 0]),
        clock_deg=clock_deg if math.isfinite(clock_deg) else None,
        across_mm=along_mm - limb.middle_mm,
        height_mm=np.where(seen, height_mm, np.nan),
        u_height_mm=np.where(seen, u_mm, np.nan),
        points_px=seen_px,
        independent_mm=alike_mm,
        smooth_mm=math.hypot(edge.mean_px, edge.blur_px) / px_per_mm,
        gain_budget=budget.gain,
        across_budget=budget.across,
        form_budget=(
            *budget.form,
            Component(
                source="outline that fades into the background",
                standard_uncertainty=FADED_MM * faded_share,
                scope=Scope.PHOTO,
            ),
        ),
        envelope_mm=float(np.interp(weld_mm, along_mm, envelopes_mm).max()),
        crests=True,
        envelopes_mm=envelopes_mm,
        near_toes_mm=(weld_mm[0] - limb.middle_mm, weld_mm[1] - limb.middle_mm),
    )
