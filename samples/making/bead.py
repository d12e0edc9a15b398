"""The shape of a weld bead: pool fronts laid one over the other, between two toe lines.

Frame of the metal (mm): s along the weld, t across it, z out of the metal.
"""

from dataclasses import dataclass

import numpy as np

from samples.making.noise import Floats, wander


@dataclass(frozen=True, slots=True, kw_only=True)
class BeadStyle:
    """How a process lays a bead.

    Attributes
    ----------
    arc
        How far a pool front trails at the middle of the bead, as a part of the half width.
    crest_phase
        Where between two fronts the crest lies, 0 to 1.
    roundness
        Exponent of the lobe's section: small is a flat coin with a sharp groove, 1 a soft wave.
    scallop
        How far the toes follow the lobes, as a part of the half width.
    crown_mm
        Height of the middle over the line that joins the toes; below 0 for a hollow pass.
    toe_power
        Exponent of the cap's section: 2 is a parabola, more is fuller at the toes.
    """

    process: str
    width_mm: float
    crown_mm: float
    pitch_mm: float
    pitch_jitter: float
    ripple_mm: float
    arc: float = 0.9
    crest_phase: float = 0.4
    roundness: float = 0.7
    scallop: float = 0.03
    wander_mm: float = 0.2
    waviness_mm: float = 0.12
    wander_length_mm: float = 22.0
    toe_power: float = 2.2
    unrest: float = 0.15
    lump_mm: float = 0.3
    crater_mm: float = 0.8
    weave_mm: float = 0.0
    weave_pitch_mm: float = 4.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bead:
    """One bead: its lines sampled along s, and its pool fronts.

    Attributes
    ----------
    s_mm, mid_mm, low_mm, high_mm
        (N,) positions along the bead; middle line and half widths towards lo and hi.
    fronts_mm
        (K,) where the pool fronts cross the middle line, along the travel (direction * s).
    lobe_mm
        (K,) height of the lobe behind each front.
    bend
        (N,) the fronts' curvature along the bead, around the style's.
    slant
        (N,) sideways lean of the fronts.
    turn_mm
        Once round the pipe, where the bead may lie across the place at which s closes; else None.
    lane
        Which of the beads side by side it belongs to.
    """

    style: BeadStyle
    start_mm: float
    end_mm: float
    direction: int
    s_mm: Floats
    mid_mm: Floats
    low_mm: Floats
    high_mm: Floats
    fronts_mm: Floats
    lobe_mm: Floats
    bend: Floats
    slant: Floats
    turn_mm: float | None = None
    lane: int = 0

    def near(self, s_mm: Floats) -> Floats:
        """The same places, on a pipe within half a turn of the bead's middle."""
        if self.turn_mm is None:
            return s_mm
        middle = (self.start_mm + self.end_mm) / 2
        return s_mm - self.turn_mm * np.round((s_mm - middle) / self.turn_mm)

    @property
    def round_mm(self) -> float:
        """Length of the rounded ends."""
        return self.style.width_mm / 2

    def edge(self, s_mm: Floats) -> Floats:
        """How much of the half width is left at s: 1, falling to 0 over the rounded ends."""
        s_mm = self.near(s_mm)
        left = np.minimum(s_mm - self.start_mm, self.end_mm - s_mm)
        u = np.clip(1 - left / self.round_mm, 0, 1)
        return np.where(left > 0, np.sqrt(1 - u * u), 0.0)

    def toes_mm(self, s_mm: Floats) -> tuple[Floats, Floats]:
        """Return t of the toes lo and hi at s; NaN beyond the ends."""
        s_mm = self.near(s_mm)
        edge = self.edge(s_mm)
        mid = np.interp(s_mm, self.s_mm, self.mid_mm)
        low = mid - edge * np.interp(s_mm, self.s_mm, self.low_mm)
        high = mid + edge * np.interp(s_mm, self.s_mm, self.high_mm)
        gone = edge <= 0
        return np.where(gone, np.nan, low), np.where(gone, np.nan, high)

    def phase(self, s_mm: Floats, x: Floats) -> Floats:
        """Count of pool fronts passed (whole part) and place between two (fraction).

        Parameters
        ----------
        s_mm
            Along the bead, broadcast against x.
        x
            Across the bead, -1 at toe lo, 1 at toe hi.
        """
        s_mm = self.near(s_mm)
        arc = self.style.arc * self.style.width_mm / 2
        bent = np.interp(s_mm, self.s_mm, self.bend) * arc * (1 - np.sqrt(1 - 0.96 * x * x))
        lean = np.interp(s_mm, self.s_mm, self.slant) * x
        along = self.direction * s_mm - bent - lean
        return np.interp(along, self.fronts_mm, np.arange(len(self.fronts_mm), dtype=np.float64))

    def lobes_mm(self, phase: Floats) -> Floats:
        """Height of the ripple over its groove at a phase."""
        whole = np.clip(phase.astype(np.intp), 0, len(self.lobe_mm) - 1)
        return self.lobe_mm[whole] * lobe_section(phase - whole, self.style)

    def cap_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Height over the base metal, zero outside the toes; s (N,) and t (M,) give (M, N)."""
        return self.cap_at_mm(s_mm[None, :], t_mm[:, None])

    def cap_at_mm(self, s_mm: Floats, t_mm: Floats, *, rippled: bool = True) -> Floats:
        """The same at points, s and t broadcast; without ripples, the middle of their height."""
        s, t = self.near(s_mm), t_mm
        edge = np.maximum(self.edge(s), 1e-6)
        mid = np.interp(s, self.s_mm, self.mid_mm)
        low = np.interp(s, self.s_mm, self.low_mm) * edge
        high = np.interp(s, self.s_mm, self.high_mm) * edge
        x = np.where(t < mid, (t - mid) / low, (t - mid) / high)
        inside = np.abs(x) < 1
        x = np.clip(x, -1, 1)
        crown = self._crown_mm(s) * edge**0.8
        cap = crown * (1 - np.abs(x) ** self.style.toe_power)
        ripple = 0.0
        if rippled:
            lobes = self.lobes_mm(self.phase(s, x)) - self.style.ripple_mm / 2
            ripple = lobes * np.sqrt(1 - x * x)
        height = cap + ripple * edge - self._crater_mm(s, t - mid)
        least = 0.0 if self.style.crown_mm > 0 else -np.inf  # a hollow pass lies below its toes
        return np.where(inside, np.maximum(height, least), 0.0)

    def crests(self) -> tuple[Floats, Floats]:
        """Return s and t of the ripple crests at the middle of the bead, in order of growing s."""
        s, t = self.all_crests()
        steady = (s > self.start_mm + self.round_mm) & (s < self.end_mm - self.round_mm)
        return s[steady], t[steady]

    def all_crests(self) -> tuple[Floats, Floats]:
        """Return s and t of the crests at the middle, those of the rounded ends too."""
        whole = np.arange(len(self.fronts_mm) - 1)
        phase = whole + self.style.crest_phase
        along = np.interp(phase, np.arange(len(self.fronts_mm)), self.fronts_mm)
        s = np.sort(self.direction * along)
        s = s[(s > self.start_mm) & (s < self.end_mm)]
        return s, np.interp(s, self.s_mm, self.mid_mm)

    def _crown_mm(self, s: Floats) -> Floats:
        style = self.style
        first = self.start_mm if self.direction > 0 else self.end_mm
        from_start = np.abs(s - first)
        lump = np.exp(-(((from_start - 0.8 * style.width_mm) / (0.5 * style.width_mm)) ** 2))
        swell = np.interp(s, self.s_mm, self.low_mm + self.high_mm) / style.width_mm
        return style.crown_mm * (2 - swell) + style.lump_mm * lump

    def _crater_mm(self, s: Floats, off_mid: Floats) -> Floats:
        style = self.style
        last = self.end_mm if self.direction > 0 else self.start_mm
        centre = last - self.direction * 0.55 * style.width_mm
        radius = 0.36 * style.width_mm
        r2 = ((s - centre) ** 2 + off_mid**2) / radius**2
        return style.crater_mm * np.clip(1 - r2, 0, 1) ** 1.5


def lobe_section(fraction: Floats, style: BeadStyle) -> Floats:
    """Section of one lobe, 0 at its grooves and 1 at its crest."""
    power = np.log(0.5) / np.log(style.crest_phase)
    u = np.clip(fraction, 0, 1) ** power
    return (4 * u * (1 - u)) ** style.roundness


def lay_bead(
    rng: np.random.Generator,
    style: BeadStyle,
    *,
    start_mm: float,
    end_mm: float,
    direction: int = 1,
    offset_mm: float = 0.0,
    turn_mm: float | None = None,
    lane: int = 0,
) -> Bead:
    """Lay a bead from start to end; it travels towards the end where `direction` is 1."""
    s = np.arange(start_mm - 1, end_mm + 1, 0.05)
    half = style.width_mm / 2
    length = style.wander_length_mm
    mid = offset_mm + style.wander_mm * wander(rng, s, length=length)
    low = half + style.waviness_mm * _uneven(rng, s, length)
    high = half + style.waviness_mm * _uneven(rng, s, length)
    fronts = _fronts(rng, style, start_mm - 2 * style.width_mm, end_mm + 2 * style.width_mm)
    fronts = fronts if direction > 0 else np.sort(-fronts)
    bead = Bead(
        style=style,
        start_mm=start_mm,
        end_mm=end_mm,
        direction=direction,
        s_mm=s,
        mid_mm=mid,
        low_mm=low,
        high_mm=high,
        fronts_mm=fronts,
        lobe_mm=style.ripple_mm * np.clip(1 + 0.35 * rng.standard_normal(len(fronts)), 0.3, 1.8),
        bend=np.clip(1 + style.unrest * wander(rng, s, length=2.5 * style.pitch_mm), 0.3, 1.8),
        slant=style.unrest * half * 0.5 * wander(rng, s, length=4 * style.pitch_mm)
        + 0.1 * half * rng.standard_normal(),
        turn_mm=turn_mm,
        lane=lane,
    )
    weave = style.weave_mm * np.sin(2 * np.pi * s / style.weave_pitch_mm)
    scallop = style.scallop * half
    at_low = scallop * (lobe_section(bead.phase(s, np.full_like(s, -1.0)) % 1, style) - 0.6)
    at_high = scallop * (lobe_section(bead.phase(s, np.full_like(s, 1.0)) % 1, style) - 0.6)
    bead.low_mm[:] = np.maximum(low + at_low - weave, 0.4 * half)
    bead.high_mm[:] = np.maximum(high + at_high + weave, 0.4 * half)
    return bead


def _uneven(rng: np.random.Generator, s: Floats, length: float) -> Floats:
    slow, quick = wander(rng, s, length=length), wander(rng, s, length=length / 6)
    return 0.8 * slow + 0.5 * quick


def _fronts(rng: np.random.Generator, style: BeadStyle, low: float, high: float) -> Floats:
    count = int((high - low) / style.pitch_mm * 1.5) + 8
    drift = np.cumsum(rng.standard_normal(count)) * 0.02
    gaps = style.pitch_mm * (1 + style.pitch_jitter * rng.standard_normal(count) + 0.3 * drift)
    gaps = np.clip(gaps, 0.45 * style.pitch_mm, 1.9 * style.pitch_mm)
    fronts = low + np.cumsum(gaps)
    return fronts[fronts < high]
