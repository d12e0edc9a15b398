"""A weld: one bead or several side by side, with what mars it."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from samples.making.bead import Bead, BeadStyle
from samples.making.noise import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The base metal before welding: flat, with two parts at different heights, or grooved.

    Attributes
    ----------
    step_mm
        How much higher the metal stands on the side of larger t.
    groove_half_mm
        Half width of a V-groove at the surface; 0 for none.
    bevel_deg
        Angle of each groove wall to the metal's normal.
    root_half_mm
        Half width of the flat at the groove's bottom.
    """

    step_mm: float = 0.0
    groove_half_mm: float = 0.0
    bevel_deg: float = 30.0
    root_half_mm: float = 1.0

    @property
    def flat(self) -> bool:
        """Whether the metal lies at height 0 everywhere."""
        return self.step_mm == 0 and self.groove_half_mm == 0

    def height_mm(self, t_mm: Floats) -> Floats:
        """Height at t, which the weld does not cover; the step is 0.1 mm wide."""
        slope = np.tan(np.radians(self.bevel_deg))
        off = np.clip(np.abs(t_mm), self.root_half_mm, None)
        groove = np.minimum(0.0, (off - self.groove_half_mm) / slope)
        return groove + self.step_mm * np.clip(t_mm / 0.1 + 0.5, 0, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Undercut:
    """A groove melted into the base metal along one toe ("lo" or "hi")."""

    side: str
    start_mm: float
    end_mm: float
    depth_mm: float
    width_mm: float = 0.7

    def depths_mm(self, s_mm: Floats) -> Floats:
        """Depth along s, tapering over the last quarter at either end."""
        taper = (self.end_mm - self.start_mm) / 4
        left = np.minimum(s_mm - self.start_mm, self.end_mm - s_mm)
        return self.depth_mm * np.clip(left / taper, 0, 1) ** 0.7


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weld:
    """What is welded: beads in the order laid, and undercuts.

    Attributes
    ----------
    fillet_mm
        Standard width of the rounding where weld metal meets the base metal.
    rough_mm
        Standard deviation of the weld metal's unevenness, ripples apart.
    ground
        The base metal; the caps stand on the line that joins the outer toes on it.
    """

    beads: tuple[Bead, ...]
    undercuts: tuple[Undercut, ...] = ()
    fillet_mm: float = 0.08
    rough_mm: float = 0.0
    ground: Ground = field(default_factory=Ground)

    @property
    def turn_mm(self) -> float | None:
        """Once round the pipe, where the weld goes all the way round; else None."""
        return self.beads[0].turn_mm

    @property
    def lanes(self) -> tuple[BeadStyle, ...]:
        """Of each bead side by side: its style, all round a pipe that of its first run."""
        if self.turn_mm is None:
            return tuple(bead.style for bead in self.beads)
        first = {bead.lane: bead.style for bead in reversed(self.beads)}
        return tuple(first[lane] for lane in sorted(first))

    @property
    def s_range_mm(self) -> tuple[float, float]:
        """Whole length, rounded ends included."""
        if self.turn_mm is not None:
            return -self.turn_mm / 2, self.turn_mm / 2
        return min(b.start_mm for b in self.beads), max(b.end_mm for b in self.beads)

    @property
    def steady_range_mm(self) -> tuple[float, float]:
        """Length without the rounded ends."""
        if self.turn_mm is not None:
            return self.s_range_mm
        return (
            max(b.start_mm + b.round_mm for b in self.beads),
            min(b.end_mm - b.round_mm for b in self.beads),
        )

    @property
    def body_range_mm(self) -> tuple[float, float]:
        """Length without start lump and crater: one bead width off either end."""
        low, high = self.steady_range_mm
        if self.turn_mm is not None:
            return low, high
        width = max(b.style.width_mm for b in self.beads)
        return low + width, high - width

    def off_ends_mm(self, s_mm: Floats) -> Floats:
        """Distance of places from the nearest start or stop, less its rounded end."""
        off = []
        for bead in self.beads:
            for end in (bead.start_mm, bead.end_mm):
                away = s_mm - end
                if self.turn_mm is not None:
                    away = away - self.turn_mm * np.round(away / self.turn_mm)
                off.append(np.abs(away) - bead.round_mm)
        return np.asarray(np.min(off, axis=0), dtype=np.float64)

    def uppermost(self, s_mm: Floats, t_mm: Floats) -> NDArray[np.intp]:
        """Number of the bead that was laid last at points (N,); -1 beside the weld."""
        top = np.full(np.shape(s_mm), -1, dtype=np.intp)
        for number, bead in enumerate(self.beads):
            low, high = bead.toes_mm(s_mm)
            top[(t_mm >= low) & (t_mm <= high)] = number
        return top

    def toes_mm(self, s_mm: Floats) -> tuple[Floats, Floats]:
        """Return t of the outer toes lo and hi at s; NaN beyond the ends."""
        low = np.full_like(s_mm, np.inf)
        high = np.full_like(s_mm, -np.inf)
        for bead in self.beads:
            bead_low, bead_high = bead.toes_mm(s_mm)
            low, high = np.fmin(low, bead_low), np.fmax(high, bead_high)
        gone = ~np.isfinite(low)
        return np.where(gone, np.nan, low), np.where(gone, np.nan, high)

    def base_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Base metal (M, N) for t (M,), s (N,); between the toes, the line that joins them."""
        ground = np.repeat(self.ground.height_mm(t_mm)[:, None], len(s_mm), axis=1)
        if self.ground.flat:
            return ground
        low, high = self.toes_mm(s_mm)
        at_low, at_high = self.ground.height_mm(low), self.ground.height_mm(high)
        part = (t_mm[:, None] - low) / (high - low)
        inside = (part > 0) & (part < 1)
        return np.where(inside, at_low + part * (at_high - at_low), ground)

    def sharp_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Height by the caps' equations and the undercuts, no fillet; (M, N) for t (M,), s (N,)."""
        height = self._caps_mm(s_mm, t_mm) + self.base_mm(s_mm, t_mm)
        low, high = self.toes_mm(s_mm)
        for undercut in self.undercuts:
            side = (
                low[None, :] - t_mm[:, None]
                if undercut.side == "lo"
                else (t_mm[:, None] - high[None, :])
            )
            off = (np.nan_to_num(side, nan=1e3) - 0.35 * undercut.width_mm) / undercut.width_mm
            groove = undercut.depths_mm(s_mm)[None, :] * np.exp(-((2 * off) ** 2))
            height -= np.where(side > 0, groove * np.clip(side / 0.1, 0, 1), 0.0)
        return height

    def _caps_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        if self.turn_mm is not None:
            return self._laid_over_mm(s_mm, t_mm)
        caps: Floats = np.max([bead.cap_mm(s_mm, t_mm) for bead in self.beads], axis=0)
        return caps

    def _laid_over_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Each bead stands on the line that joins its toes on what was laid before it."""
        top = np.zeros((len(t_mm), len(s_mm)))
        for number, bead in enumerate(self.beads):
            columns = np.flatnonzero(bead.edge(s_mm) > 0)
            s, t, before = s_mm[columns], t_mm[:, None], top[:, columns]
            low, high = bead.toes_mm(s)
            at_low, at_high = (self._before_mm(number, s, toe) for toe in (low, high))
            base = at_low + (t - low) / (high - low) * (at_high - at_low)
            top[:, columns] = np.where((t > low) & (t < high), base + bead.cap_mm(s, t_mm), before)
        return top

    def _before_mm(self, number: int, s_mm: Floats, t_mm: Floats) -> Floats:
        """Height at points (N,) before the bead of this number was laid, ripples left out.

        A pool melts the ripples that it runs over: they do not show through.
        """
        top = np.zeros(len(s_mm))
        for earlier, bead in enumerate(self.beads[:number]):
            low, high = bead.toes_mm(s_mm)
            under = np.flatnonzero((t_mm > low) & (t_mm < high))
            if len(under) == 0:
                continue
            s, t, low, high = s_mm[under], t_mm[under], low[under], high[under]
            at_low, at_high = (self._before_mm(earlier, s, toe) for toe in (low, high))
            base = at_low + (t - low) / (high - low) * (at_high - at_low)
            top[under] = base + bead.cap_at_mm(s, t, rippled=False)
        return top

    def height_mm(self, s_mm: Floats, t_mm: Floats, *, rng: np.random.Generator) -> Floats:
        """Height as it is rendered: fillet at the toes, and a fine unevenness of the weld metal."""
        height = self.sharp_mm(s_mm, t_mm)
        pitch = (float(t_mm[1] - t_mm[0]), float(s_mm[1] - s_mm[0]))
        edge = ("reflect", "reflect" if self.turn_mm is None else "wrap")
        metal = np.clip(np.abs(self._caps_mm(s_mm, t_mm)) / 0.3, 0, 1)
        for grain_mm, share in ((2.5, 0.75), (0.7, 0.3), (0.25, 0.12)):
            noise = gaussian_filter(
                rng.standard_normal(height.shape),
                (grain_mm / pitch[0] / 2, grain_mm / pitch[1] / 2),
                mode=edge,
            )
            height = height + metal * self.rough_mm * share * noise / max(noise.std(), 1e-9)
        soft = (self.fillet_mm / pitch[0], self.fillet_mm / pitch[1])
        return gaussian_filter(height, soft, mode=edge)
