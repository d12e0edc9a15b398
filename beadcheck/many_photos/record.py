"""What is remembered of each photo: how it went, a few numbers, and where the rest lies."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from beadcheck.limits import Finding
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.result import Result

VALUES: Final = (
    (QuantityName.WELD_WIDTH, Statistic.MEAN),
    (QuantityName.WELD_WIDTH, Statistic.SD),
    (QuantityName.RIPPLE_SPACING, Statistic.MEAN),
    (QuantityName.PULSE_OVERLAP, Statistic.MEAN),
    (QuantityName.FACE_REINFORCEMENT, Statistic.MAX),
)
"""Which values of a photo stand in the summary; all others are in its own folder."""


class PhotoOutcome(StrEnum):
    """How it went with one photo."""

    MEASURED = "measured"
    REFUSED = "not measured"
    """It cannot be measured as it is; asking again gives the same."""
    FAILED = "failed"
    """The work on it was cut short; it is done again next time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A line of the journal.

    Attributes
    ----------
    key
        Of the question about this photo; empty where its file could not be read.
    fingerprint
        Of the question alone.
    folder
        Name of the folder with its files, inside the output folder; empty where there is none.
    why, code
        A sentence, and its code, where it was not measured.
    values
        By quantity, statistic and unit, as in ``weld_width_mean_mm``; beside each its U (k = 2).
    findings
        How often each finding was made.
    """

    key: str
    fingerprint: str
    file: str
    folder: str
    outcome: PhotoOutcome
    why: str = ""
    code: str = ""
    values: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    findings: Mapping[str, int] = field(default_factory=dict)

    @property
    def done(self) -> bool:
        """Whether nothing is gained by doing it again."""
        return self.outcome is not PhotoOutcome.FAILED

    @property
    def outside(self) -> bool:
        """Whether something lies outside its limits."""
        return self.findings.get(Finding.OUTSIDE.value, 0) > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a result says, in short."""

    outcome: PhotoOutcome
    why: str
    code: str
    values: Mapping[str, tuple[float, float]]
    findings: Mapping[str, int]


def said_by(result: Result) -> Said:
    """What the result of one photo says, in short."""
    (photo,) = result.photos
    refusal = None if photo.usable else photo.problems[0]
    wanted = {(name.value, statistic.value) for name, statistic in VALUES}
    return Said(
        outcome=PhotoOutcome.REFUSED if refusal else PhotoOutcome.MEASURED,
        why=refusal.message if refusal else "",
        code=refusal.code if refusal else "",
        values={
            f"{each.name}_{each.statistic}_{each.unit}": (each.value, each.expanded_uncertainty)
            for each in result.quantities
            if (each.name, each.statistic) in wanted
        },
        findings=dict(Counter(each.finding.value for each in result.checks)),
    )
