"""The limit sets as the form offers them: a family first, then one of its few sets."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import (
    DecisionRule,
    Family,
    default_limit_set,
    limit_sets,
    load_limit_set,
)
from beadcheck_page.sizes import Choices

FAMILY_WORDS: Final = {
    Family.PRACTICE: "Practice coupons",
    Family.ISO: "ISO and EN",
    Family.ASME: "ASME",
    Family.API: "API",
    Family.AWS: "AWS",
}
NO_BREAK: Final = "\N{NO-BREAK SPACE}"
GUARD_CHOICES: Final[Choices] = [
    (rule.value.replace(" ", NO_BREAK), rule.value) for rule in DecisionRule
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitChoices:
    """Titles and names of the shipped sets, by the family's word."""

    by_family: Mapping[str, Choices]

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that may be chosen."""
        return tuple(name for choices in self.by_family.values() for _, name in choices)

    @property
    def families(self) -> Choices:
        """Families that have a set."""
        return [
            (words, family.value)
            for family, words in FAMILY_WORDS.items()
            if self.by_family.get(family.value)
        ]

    def of(self, family: object) -> Choices:
        """Sets of a family; none where nothing was said."""
        return list(self.by_family.get(family, [])) if isinstance(family, str) else []


def shipped_limits() -> LimitChoices:
    """Read what is shipped, once for a page; the usual set comes first in its family."""
    by_family: dict[str, Choices] = {}
    usual = default_limit_set(Coupon())
    for name in sorted(limit_sets(), key=lambda name: (name != usual, name)):
        limit_set = load_limit_set(name)
        by_family.setdefault(limit_set.family.value, []).append((limit_set.title, name))
    return LimitChoices(by_family=by_family)
