"""What a device remembers between visits: the unit, the limit set, and whose it is."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from beadcheck.report.wording import LengthUnit
from beadcheck_page.entries import UNSAID, Entries
from beadcheck_page.limit_choices import LimitChoices

LONGEST_PERSON: Final = 200
"""Characters; the log refuses far shorter names, and says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """What a device remembers; None where it remembers nothing of the kind.

    Attributes
    ----------
    limits_of, limits
        Family and name of a limit set.
    """

    unit: LengthUnit | None = None
    limits_of: str | None = None
    limits: str | None = None
    person: str | None = None

    def stored(self) -> dict[str, str]:
        """Return what the browser keeps."""
        said = {
            "unit": self.unit,
            "limits_of": self.limits_of,
            "limits": self.limits,
            "person": self.person,
        }
        return {key: str(value) for key, value in said.items() if value is not None}

    def with_limits(self, family: object, name: object, choices: LimitChoices) -> "Remembered":
        """Remember a limit set instead, or none where it is not one of the family's."""
        sets = choices.of(family)
        chosen = sets[0][1] if len(sets) == 1 else next((s for _, s in sets if s == name), None)
        family_kept = family if isinstance(family, str) and chosen is not None else None
        return replace(self, limits_of=family_kept, limits=chosen)

    def begun(self) -> Entries:
        """Return the form as it begins on this device."""
        return Entries(
            unit=(self.unit or LengthUnit.MM).value,
            limits_of=self.limits_of or UNSAID,
            limits=self.limits or UNSAID,
        )


def remembered(sent: object, choices: LimitChoices) -> Remembered:
    """Read what a browser says that it remembers; what makes no sense is left out."""
    said = sent if isinstance(sent, Mapping) else {}
    unit, person = said.get("unit"), said.get("person")
    known = unit if isinstance(unit, str) and unit in set(LengthUnit) else None
    name = person[:LONGEST_PERSON].strip() if isinstance(person, str) else ""
    read = Remembered(unit=None if known is None else LengthUnit(known), person=name or None)
    return read.with_limits(said.get("limits_of"), said.get("limits"), choices)
