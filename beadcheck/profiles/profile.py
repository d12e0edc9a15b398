"""One section across the weld, whichever way it was measured."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Component

Floats = NDArray[np.float64]


class ProfileMethod(StrEnum):
    """How a profile was measured; the values are the photo kinds of the result format."""

    SIDE_ON = "side-on"
    LIGHT_LINE = "light-line"
    PAIR = "pair"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """Height over the base metal along one line square to the weld, as seen, before levelling.

    Attributes
    ----------
    s_mm
        Station: distance along the weld on the base-metal surface.
    clock_deg
        Clock position on a pipe; None on plate or without a 12 o'clock mark.
    across_mm
        (N,) places square to the weld on the base-metal surface, strictly growing to the right as
        seen facing growing s. Where zero lies does not matter.
    height_mm
        (N,) height out of the metal, over a nominal base; NaN where nothing was seen. A rest of
        offset and slope is allowed: readers level on the parent metal.
    u_height_mm
        (N,) standard uncertainty of each point's own error, which differs from place to place.
    points_px
        (N, 2) where each point appears in the upright photo (in the first photo of a pair).
    independent_mm
        Distance across beyond which two points' own errors are independent.
    smooth_mm
        Standard deviation, across the weld, of the window that each height averages over.
    envelope_mm
        R tan² psi of an outline seen at the angle psi to the normal section: the outline is the
        true profile dilated by a parabola of this radius of curvature. 0 for other ways.
    crests
        Whether the largest height near the section is seen, not the height at the section.
    gain_budget
        Relative standard uncertainties of every height, such as that of a known step.
    across_budget
        Relative standard uncertainties of every distance across.
    form_budget
        Standard uncertainties, in mm, of a height above the levelled base that neither averaging
        nor levelling removes: a light sheet that is not plane, a pipe that is not round.
    near_toes_mm
        Where the toes lie roughly, in `across_mm`, where the way of measuring knows it.
    envelopes_mm
        (N,) `envelope_mm` at each place, which may differ much from toe to toe: the sight turns
        along the outline, and `envelope_mm` is the greater of both toes'. None for other ways.
    """

    method: ProfileMethod
    s_mm: float
    clock_deg: float | None
    across_mm: Floats
    height_mm: Floats
    u_height_mm: Floats
    points_px: Floats
    independent_mm: float
    smooth_mm: float
    gain_budget: tuple[Component, ...]
    across_budget: tuple[Component, ...]
    form_budget: tuple[Component, ...]
    envelope_mm: float = 0.0
    crests: bool = False
    near_toes_mm: tuple[float, float] | None = None
    envelopes_mm: Floats | None = None

    def __post_init__(self) -> None:
        count = len(self.across_mm)
        if count < 2 or not (np.diff(self.across_mm) > 0.0).all():
            msg = "a profile has two places or more, strictly growing"
            raise ValueError(msg)
        shapes = (self.height_mm.shape, self.u_height_mm.shape, self.points_px.shape)
        if shapes != ((count,), (count,), (count, 2)):
            msg = "a height, an uncertainty and a pixel belong to each place of a profile"
            raise ValueError(msg)
        if self.envelopes_mm is not None:
            if self.envelopes_mm.shape != (count,):
                msg = "an envelope belongs to each place of a profile"
                raise ValueError(msg)
            self.envelopes_mm.flags.writeable = False
        for array in (self.across_mm, self.height_mm, self.u_height_mm, self.points_px):
            array.flags.writeable = False
