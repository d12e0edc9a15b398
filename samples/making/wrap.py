"""A strip that goes once round a pipe: glued of segments, its tail tucked under its start."""

from dataclasses import dataclass

import numpy as np

from samples.making.card import Sheet
from samples.making.noise import Floats

CUT_MM = 1.0  # of the paper's grid along it: on pipe its chords lie within 2 µm of the arc
TABLE_MM = 0.1  # step of the table of places along the strip
TAB_MM = 6.0  # of each segment, under the next one
RAMP_MM = 3.0  # over which paper climbs what lies under it
HIDDEN_MM = 1.0  # of paper that reaches on under what covers it


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Where the next segment is glued on, and how far off its line it lies.

    Attributes
    ----------
    x_mm
        Of the line, in the strip's frame.
    gap_mm, step_mm
        How far the segment lies too far on, and too far to the weld's side.
    turn_deg
        How far it is turned to the weld's side.
    """

    x_mm: float
    gap_mm: float
    step_mm: float
    turn_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Slack:
    """Where the strip stands off the metal: from and to along it, rising and falling softly."""

    from_mm: float
    to_mm: float
    lift_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrap:
    """How a strip lies round a pipe; its upper edge faces the weld.

    Attributes
    ----------
    s_mm, t_mm
        Where the middle of the strip's start edge lies.
    angle_deg
        0 where the strip's x runs along s, 180 where it runs against it.
    tilt_deg
        How far the first segment runs off square to the axis, to the weld's side.
    radius_mm
        Of the pipe as it is.
    """

    s_mm: float
    t_mm: float
    angle_deg: float
    radius_mm: float
    tilt_deg: float = 0.0
    joints: tuple[Joint, ...] = ()
    slack: Slack | None = None
    print_scale: float = 1.0
    ink_mm: float = 0.02

    @property
    def lift_mm(self) -> float:
        """Air under the strip where it lies tight."""
        return 0.0

    @property
    def bow_mm(self) -> float:
        """A wrapped strip has no bow of its own."""
        return 0.0

    @property
    def turn_mm(self) -> float:
        """Once round the pipe, on its outside."""
        return 2 * np.pi * self.radius_mm

    @property
    def sense(self) -> int:
        """1 where the strip's x runs along s, -1 where it runs against it."""
        return 1 if np.cos(np.radians(self.angle_deg)) > 0 else -1

    def piece_of(self, x_mm: Floats) -> np.ndarray:
        """Number of the segment that holds places along the strip."""
        return np.searchsorted([joint.x_mm for joint in self.joints], x_mm, side="right")

    def seam_x_mm(self, sheet: Sheet) -> float:
        """What the strip's own scale reads where its start edge lies on the tail."""
        x = np.arange(0.9 * self.turn_mm, 1.1 * self.turn_mm, TABLE_MM) / self.print_scale
        xy = np.stack([x, np.full_like(x, sheet.height_mm / 2)], axis=-1)
        arc = self.sense * (self._stz_mm(sheet, xy, self.piece_of(x), tail_mm=0.0)[..., 0])
        return float(np.interp(self.sense * self.s_mm + self.turn_mm, arc, x))

    def stz_mm(self, sheet: Sheet, xy_mm: Floats) -> Floats:
        """Points (..., 3) on the metal of points (..., 2) of the strip's printed face."""
        xy = np.asarray(xy_mm, dtype=np.float64)
        return self.piece_stz_mm(sheet, xy, self.piece_of(xy[..., 0]))

    def piece_stz_mm(self, sheet: Sheet, xy_mm: Floats, piece: np.ndarray | int) -> Floats:
        """The same where points belong to given segments, which reach on under the next ones."""
        tail = sheet.width_mm - self.seam_x_mm(sheet)
        return self._stz_mm(sheet, xy_mm, np.broadcast_to(piece, xy_mm.shape[:-1]), tail_mm=tail)

    def _stz_mm(self, sheet: Sheet, xy_mm: Floats, piece: np.ndarray, *, tail_mm: float) -> Floats:
        origins, turns, firsts = self._segments()
        local = np.stack(
            [xy_mm[..., 0] - firsts[piece], sheet.height_mm / 2 - xy_mm[..., 1]], axis=-1
        )
        local *= self.print_scale
        cos, sin = np.cos(turns[piece]), np.sin(turns[piece])
        u = origins[piece, 0] + cos * local[..., 0] - sin * local[..., 1]
        v = origins[piece, 1] + sin * local[..., 0] + cos * local[..., 1]
        lift = self._lift_mm(sheet, u, u - origins[piece, 0], piece, tail_mm)
        s = self.s_mm + self.sense * self._arc_mm(sheet, u)
        return np.stack([s, self.t_mm + self.sense * v, sheet.thickness_mm + lift], axis=-1)

    def _segments(self) -> tuple[Floats, Floats, Floats]:
        """Where each segment begins on the unrolled metal, how it is turned, and its first x."""
        origin, turn, first = np.zeros(2), np.radians(self.tilt_deg), 0.0
        origins, turns, firsts = [origin], [turn], [first]
        for joint in self.joints:
            along = np.array([np.cos(turn), np.sin(turn)])
            side = np.array([-np.sin(turn), np.cos(turn)])
            reach = (joint.x_mm - first) * self.print_scale + joint.gap_mm
            origin = origin + reach * along + joint.step_mm * side
            turn, first = turn + np.radians(joint.turn_deg), joint.x_mm
            origins.append(origin)
            turns.append(turn)
            firsts.append(first)
        return np.array(origins), np.array(turns), np.array(firsts)

    def _slack_mm(self, u_mm: Floats) -> Floats:
        """Air under the strip at lengths along it."""
        if self.slack is None:
            return np.zeros_like(u_mm)
        part = (u_mm - self.slack.from_mm) / (self.slack.to_mm - self.slack.from_mm)
        inside = np.clip(part, 0, 1)
        return self.slack.lift_mm * np.sin(np.pi * inside) ** 2

    def _arc_mm(self, sheet: Sheet, u_mm: Floats) -> Floats:
        """Arc on the outside of the pipe under lengths along the strip.

        Wrapped paper keeps its length in the middle of its thickness.
        """
        table = np.arange(-20.0, 1.2 * self.turn_mm + 20.0, TABLE_MM)
        over = self.radius_mm + self._slack_mm(table) + sheet.thickness_mm / 2
        step = TABLE_MM * self.radius_mm / over
        arc = np.concatenate([[0.0], np.cumsum((step[1:] + step[:-1]) / 2)])
        arc -= np.interp(0.0, table, arc)
        return np.interp(u_mm, table, arc)

    def _lift_mm(
        self, sheet: Sheet, u_mm: Floats, on_mm: Floats, piece: np.ndarray, tail_mm: float
    ) -> Floats:
        """Height of the strip's underside: slack, the tail under its start, tabs under segments."""
        under = np.where(piece == 0, tail_mm, TAB_MM)
        climb = np.clip((under - on_mm) / RAMP_MM + 1.0, 0.0, 1.0)
        return self._slack_mm(u_mm) + sheet.thickness_mm * np.where(under > 0, climb, 0.0)

    def grids(self, sheet: Sheet) -> list[tuple[Floats, Floats]]:
        """Of each segment: points x, y (M, N, 2) of its paper, and where they lie (M, N, 3)."""
        starts = [0.0, *(joint.x_mm for joint in self.joints)]
        ends = [*(joint.x_mm for joint in self.joints), self.seam_x_mm(sheet)]
        y = np.linspace(sheet.height_mm, 0.0, 18)
        made = []
        for piece, (start, end) in enumerate(zip(starts, ends, strict=True)):
            reach = min(end + HIDDEN_MM, sheet.width_mm)
            x = np.linspace(start, reach, int((reach - start) / CUT_MM) + 2)
            xy = np.stack(np.meshgrid(x, y), axis=-1)
            made.append((xy, self.piece_stz_mm(sheet, xy, piece)))
        return made
