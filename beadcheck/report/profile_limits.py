"""Limits as lines in a profile plot."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from beadcheck.report.finding_words import limit_words
from beadcheck.report.wording import quantity_words
from beadcheck.result import BaseLineRecord, CheckRecord, ProfileRecord

UPWARDS: Final = ("face_reinforcement", "root_reinforcement")
DOWNWARDS: Final = ("underfill", "concavity", "depth_below_surface", "undercut_depth")
BESIDE_TOE_MM: Final = 1.8
"""How far a limit of undercut is drawn outside its toe."""
SHOWN_FROM_MM: Final = 0.05
"""Depth from which a depth is drawn."""
LEAST_MM: Final = 0.02
"""A limit of zero is the line of the base metal, which is drawn already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit of a height, from one place to another, parallel to what it is counted from.

    `heights_mm` are those of its two ends in the plot; below the base metal for a limit of a depth.
    """

    check: CheckRecord
    limit_mm: float
    across_mm: tuple[float, float]
    heights_mm: tuple[float, float]

    @property
    def short_words(self) -> str:
        """What stands beside the line in the plot."""
        return f"limit {self.limit_mm:.2f}"

    @property
    def words(self) -> str:
        """Name, sense, limit and finding."""
        side = f" at the {self.check.side} toe" if self.check.side else ""
        name = quantity_words(self.check.name)
        return f"{name}{side} {limit_words(self.check)}: {self.check.finding}"


def limit_lines(profile: ProfileRecord, checks: Iterable[CheckRecord]) -> tuple[LimitLine, ...]:
    """Limits on heights of this profile, once each; those of undercut at their toes.

    A limit on a depth is drawn only where there is some depth: elsewhere it would be clutter.
    """
    left, right = profile.left_toe_across_mm, profile.right_toe_across_mm
    if left is None or right is None:
        return ()
    lines: dict[tuple[str, float, str | None], LimitLine] = {}
    for check in checks:
        if check.limit is None or abs(check.limit) < LEAST_MM or check.unit != "mm":
            continue
        if check.name not in UPWARDS and not _deep(profile, check):
            continue
        if check.name == "concavity" and shows_groove(profile):
            continue
        up = check.limit if check.name in UPWARDS else -check.limit
        ends, feet = (
            (left, right),
            (on_base(profile.left_base, left), on_base(profile.right_base, right)),
        )
        if check.name == "undercut_depth":
            base = profile.right_base if check.side == "right" else profile.left_base
            toe, out = (right, 1.0) if check.side == "right" else (left, -1.0)
            ends = (min(toe, toe + out * BESIDE_TOE_MM), max(toe, toe + out * BESIDE_TOE_MM))
            feet = (on_base(base, ends[0]), on_base(base, ends[1]))
        lines.setdefault(
            (check.name, check.limit, check.side),
            LimitLine(
                check=check,
                limit_mm=check.limit,
                across_mm=ends,
                heights_mm=(feet[0] + up, feet[1] + up),
            ),
        )
    return tuple(lines.values())


def on_base(base: BaseLineRecord | None, across_mm: float) -> float:
    """Height of a base line at a place; 0 where there is none."""
    if base is None:
        return 0.0
    (x0, x1), (z0, z1) = base.across_mm, base.height_mm
    return z0 + (z1 - z0) / max(x1 - x0, 1e-9) * (across_mm - x0)


def shows_groove(profile: ProfileRecord) -> bool:
    """Whether a pass in a groove is shown, whose concavity is counted from its own edges."""
    return any(each.name == "depth_below_surface" for each in profile.readings)


def _deep(profile: ProfileRecord, check: CheckRecord) -> bool:
    return check.name in DOWNWARDS and any(
        each.name == check.name
        and each.side == check.side
        and each.value > max(SHOWN_FROM_MM, each.expanded_uncertainty)
        for each in profile.readings
    )
