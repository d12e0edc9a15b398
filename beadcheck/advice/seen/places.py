"""Places that an eye must look at before anything is said of them."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from beadcheck.advice.piece import Sureness, Urgency
from beadcheck.advice.situation import Situation
from beadcheck.advice.symptom import Sighting, Symptom
from beadcheck.indications import CandidateKind


@dataclass(frozen=True, slots=True, kw_only=True)
class _Evidence:
    """How many places of a kind make a symptom; fewer are listed to look at, without advice."""

    symptom: Symptom
    least: int
    one: str
    more: str = ""


_EVIDENCE: Final[Mapping[CandidateKind, _Evidence]] = MappingProxyType(
    {
        CandidateKind.DIP_AT_END: _Evidence(
            symptom=Symptom.DIP_AT_END,
            least=1,
            one="a dip at the end of the weld",
            more="{count} dips at the ends of the weld",
        ),
        CandidateKind.LINE_AT_TOE: _Evidence(
            symptom=Symptom.LINE_AT_TOE,
            least=1,
            one="a dark line along {toe}",
            more="{count} dark lines along {toe}",
        ),
        # A lone dark spot is as often a speck or a shadow; gas and dirt leave more than one pore,
        # and spatter is a shower (our choice).
        CandidateKind.SPOT_ON_FACE: _Evidence(
            symptom=Symptom.SPOTS_ON_FACE,
            least=2,
            one="",
            more="{count} dark round spots on the weld face",
        ),
        CandidateKind.SPOT_ON_BASE: _Evidence(
            symptom=Symptom.SPOTS_ON_BASE,
            least=2,
            one="",
            more="{count} dark round spots on the base metal",
        ),
        CandidateKind.ROUGH_SPOT: _Evidence(
            symptom=Symptom.ROUGH_SPOT,
            least=1,
            one="a rough spot on the base metal, away from the weld",
            more="{count} rough spots on the base metal, away from the weld",
        ),
    }
)


def looked_at(situation: Situation) -> Iterator[Sighting]:
    """One sighting for each kind of place that is seen often enough; what it is, is not known."""
    counted = Counter(each.kind for each in situation.looked_at)
    for kind, count in counted.items():
        evidence = _EVIDENCE[kind]
        if count < evidence.least:
            continue
        sides = {each.side for each in situation.looked_at if each.kind is kind}
        side = sides.pop() if len(sides) == 1 else None
        words = evidence.one if count == 1 else evidence.more
        toe = "the toes" if side is None else f"the {side} toe"
        yield Sighting(
            symptom=evidence.symptom,
            urgency=Urgency.LOOK,
            sure=Sureness.LOOK,
            side=side,
            words=f"The photo shows {words.format(count=count, toe=toe)}.",
        )
