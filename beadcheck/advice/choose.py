"""From symptoms to at most three changes, none of which undoes another."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from beadcheck.advice.amounts import Worded, worded
from beadcheck.advice.piece import Advice
from beadcheck.advice.push import Lever, Push, lever_of, opposed, pushes_of
from beadcheck.advice.rules import RULES, Change, Rule
from beadcheck.advice.seen.signs import edge_words
from beadcheck.advice.situation import Situation
from beadcheck.advice.symptom import Sighting, Symptom

MOST_ADVICE: Final = 3
"""More than this nobody keeps in mind under the hood."""


@dataclass(slots=True, kw_only=True)
class _Chosen:
    """A change that was chosen, and what asks for its opposite."""

    sighting: Sighting
    rule: Rule
    change: Change
    worded: Worded
    against: list[Sighting] = field(default_factory=list)


def chosen(seen: Mapping[Symptom, Sighting], situation: Situation) -> tuple[Advice, ...]:
    """Advice on what was seen, the most urgent first.

    One piece for each lever. Where the best change for a symptom would undo a more urgent one, the
    next best is taken; where all would, the more urgent one says so and nothing else is advised.
    """
    picked: list[_Chosen] = []
    for sighting, rule in _unexplained(seen, situation):
        clashes: list[_Chosen] = []
        for change, words in _possible(rule, sighting, situation):
            pushes = pushes_of(change.move)
            against = [each for each in picked if opposed(pushes, pushes_of(each.change.move))]
            if against:
                clashes += against
                continue
            if lever_of(change.move) not in _levers(picked) and len(picked) < MOST_ADVICE:
                picked.append(_Chosen(sighting=sighting, rule=rule, change=change, worded=words))
            clashes = []
            break
        if clashes:
            clashes[0].against.append(sighting)
    return _advice(picked, situation)


def joined(advice: Iterable[Advice]) -> tuple[Advice, ...]:
    """Advice on the takes of one coupon as one set: ranked, at most three, none undoing another.

    Of two takes that ask for the same lever, the more urgent one gives the amount.
    """
    kept: list[Advice] = []
    for each in sorted(advice, key=lambda one: one.urgency.rank):
        against = [i for i, other in enumerate(kept) if opposed(each.pushes, other.pushes)]
        if against:
            first = against[0]
            told = _sentences(kept[first].look_first, _against_words(each.symptom))
            kept[first] = replace(kept[first], look_first=told)
        elif each.lever not in {other.lever for other in kept}:
            kept.append(each)
    return _agreeing(kept[:MOST_ADVICE])


def _agreeing(pieces: Sequence[Advice]) -> tuple[Advice, ...]:
    """Pieces without those next changes that would undo anything in the set."""
    taken = {push for each in pieces for push in each.pushes}
    agreeing = []
    for each in pieces:
        if opposed(each.next_pushes, taken):
            agreeing.append(replace(each, next_change="", next_pushes=()))
        else:
            taken |= set(each.next_pushes)
            agreeing.append(each)
    return tuple(agreeing)


def _unexplained(
    seen: Mapping[Symptom, Sighting], situation: Situation
) -> Iterator[tuple[Sighting, Rule]]:
    """Sightings with their rules, without those whose cause another one tells."""
    ruled = {
        symptom: (sighting, rule)
        for symptom, sighting in seen.items()
        if (rule := _rule(sighting, situation, seen)) is not None
    }
    explained: set[Symptom] = set()
    # In the order of the symptoms, so that what is explained itself explains nothing.
    for symptom in Symptom:
        if symptom not in ruled or symptom in explained:
            continue
        sighting, rule = ruled[symptom]
        for other in rule.explains:
            if other in seen and other is not symptom:
                explained.add(other)
                # It is as urgent, and as sure, as the worst of what it explains.
                if seen[other].urgency.rank < sighting.urgency.rank:
                    sighting = _as_urgent_as(sighting, seen[other])
        for other in rule.beside:
            sighting = _with_words(sighting, seen[other])
        ruled[symptom] = (sighting, rule)
    left = [each for symptom, each in ruled.items() if symptom not in explained]
    return iter(sorted(left, key=lambda each: each[0].order))


def _as_urgent_as(sighting: Sighting, other: Sighting) -> Sighting:
    raised = replace(sighting, urgency=other.urgency, sure=other.sure)
    return _with_words(raised, other)


def _with_words(sighting: Sighting, other: Sighting) -> Sighting:
    """Sighting that tells of the other one too, once."""
    if other.words in sighting.words:
        return sighting
    return replace(sighting, words=f"{sighting.words} {other.words}")


def _rule(
    sighting: Sighting, situation: Situation, seen: Mapping[Symptom, Sighting]
) -> Rule | None:
    return next((rule for rule in RULES if rule.holds(sighting, situation, seen)), None)


def _possible(
    rule: Rule, sighting: Sighting, situation: Situation
) -> Iterator[tuple[Change, Worded]]:
    """Changes of the rule that can be made here, in words."""
    for change in rule.changes:
        if not change.can_be_done(situation.process):
            continue
        if change.words:
            edge = edge_words(sighting.side)
            yield change, Worded(change=change.words.format(edge=edge))
        elif (words := worded(change.move, situation)) is not None:
            yield change, words


def _levers(picked: Iterable[_Chosen]) -> set[Lever]:
    return {lever_of(each.change.move) for each in picked}


def _advice(picked: Sequence[_Chosen], situation: Situation) -> tuple[Advice, ...]:
    taken = {push for each in picked for push in pushes_of(each.change.move)}
    pieces: list[Advice] = []
    for each in picked:
        following = _next(each, situation, taken)
        next_pushes = () if following is None else pushes_of(following[0].move)
        taken |= set(next_pushes)
        outside = "" if pieces else situation.outside_of_range
        pieces.append(
            Advice(
                symptom=each.sighting.words,
                change=each.worded.change,
                why=each.change.why,
                basis="; ".join(each.change.basis),
                urgency=each.sighting.urgency,
                lever=lever_of(each.change.move),
                sure=each.sighting.sure,
                look_first=_sentences(
                    outside,
                    each.rule.look_first,
                    each.worded.look_first,
                    *(_against_words(other.words) for other in each.against),
                ),
                next_change="" if following is None else following[1].change,
                needs=each.worded.needs,
                pushes=pushes_of(each.change.move),
                next_pushes=next_pushes,
            )
        )
    return tuple(pieces)


def _next(
    each: _Chosen, situation: Situation, taken: Iterable[Push]
) -> tuple[Change, Worded] | None:
    """What to try after the chosen change, unless it would undo anything in the set."""
    later = False
    for change, words in _possible(each.rule, each.sighting, situation):
        if change is each.change:
            later = True
        elif later and not opposed(pushes_of(change.move), taken):
            return change, words
    return None


def _against_words(symptom: str) -> str:
    return (
        f"{symptom} That alone would ask for the opposite: settle this first, weld again, and "
        "measure again."
    )


def _sentences(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)
