"""Places that an eye must look at before anything is said of them."""

from collections import Counter
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.advice.situation import LookedAt, Situation
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.indications import CandidateKind, seen_words

_SYMPTOMS: Final[Mapping[CandidateKind, Symptom]] = MappingProxyType(
    {
        CandidateKind.DIP_AT_END: Symptom.DIP_AT_END,
        CandidateKind.LINE_AT_TOE: Symptom.LINE_AT_TOE,
        CandidateKind.SPOT_ON_FACE: Symptom.SPOT_ON_FACE,
        CandidateKind.SPOT_ON_BASE: Symptom.SPOT_ON_BASE,
        CandidateKind.ROUGH_SPOT: Symptom.ROUGH_SPOT,
    }
)


def looked_at(situation: Situation) -> Iterator[Sighting]:
    """One sighting for each kind of place; what stands there is not known."""
    counted = Counter(each.kind for each in situation.looked_at)
    firsts: dict[CandidateKind, LookedAt] = {}
    for each in situation.looked_at:
        firsts.setdefault(each.kind, each)
    for kind, first in firsts.items():
        side = None if first.side is None else first.side.value
        what = (
            seen_words(kind, side or "weld's")
            if kind is CandidateKind.LINE_AT_TOE
            else (seen_words(kind, side))
        )
        more = counted[kind] - 1
        others = f", and {more} more like it" if more else ""
        yield Sighting(
            symptom=_SYMPTOMS[kind],
            urgency=Urgency.LOOK,
            sure=Sureness.LOOK,
            side=first.side,
            words=f"The photo shows a {what}{others}.",
        )
