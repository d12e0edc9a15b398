"""The limit sets as the form offers them: a family first, then one of its few sets."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.limits import (
    DecisionRule,
    Family,
    default_limit_set,
    limit_sets,
    load_limit_set,
)
from beadcheck_page.entries import LONGEST_TEXT
from beadcheck_page.sizes import Choices

FAMILY_WORDS: Final = {
    Family.OWN: "Our own",
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
    """The sets that the page offers.

    Attributes
    ----------
    by_family
        Titles, and the words that a browser sends for them, by the family's word.
    files
        Path of each set that is a file of one's own, by the word that stands for it: a browser
        never learns where it lies.
    """

    by_family: Mapping[str, Choices]
    files: Mapping[str, Path] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """Every word that may be chosen."""
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

    def to_load(self, name: str | None) -> str | None:
        """Name or path by which the library loads what was chosen; None where nothing was."""
        file = None if name is None else self.files.get(name)
        return name if file is None else str(file)

    def in_coupon_file(self, name: str | None) -> str | None:
        """Name by which a coupon file calls what was chosen: a file lies beside it."""
        file = None if name is None else self.files.get(name)
        return name if file is None else file.name

    def of_coupon_file(self, written: str | None) -> str | None:
        """Word for the set that a coupon file names; None where this page does not offer it."""
        own = {file.name: name for name, file in self.files.items()}
        return written if written in self.names else own.get(Path(written or "").name)


def offered_limits(own: Sequence[str] = ()) -> LimitChoices:
    """Read what is shipped, and files of one's own, once for a page.

    The usual set comes first in its family. A file is read again with each measurement, so what is
    mended in it counts at once.

    Raises
    ------
    InputFileError
        A file is broken: the message names file, line, key and mend.
    """
    by_family: dict[str, Choices] = {}
    usual = default_limit_set(Coupon())
    for name in sorted(limit_sets(), key=lambda name: (name != usual, name)):
        limit_set = load_limit_set(name)
        by_family.setdefault(limit_set.family.value, []).append((limit_set.title, name))
    files = {_word(file, number): Path(file).resolve() for number, file in enumerate(own, start=1)}
    titles = {name: _title(file) for name, file in files.items()}
    alike = Counter(titles.values())
    if files:
        by_family[Family.OWN.value] = [
            (title if alike[title] == 1 else f"{title} ({files[name].name})", name)
            for name, title in titles.items()
        ]
    return LimitChoices(by_family=by_family, files=files)


def _word(file: str, number: int) -> str:
    """Word that stands for a file, in a browser that may remember it for another day."""
    return re.sub(r"[^\w.-]", "", f"own-{number}-{Path(file).name}")[:LONGEST_TEXT]


def _title(file: Path) -> str:
    return load_limit_set(str(file)).title
