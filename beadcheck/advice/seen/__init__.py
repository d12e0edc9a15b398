"""Symptoms that the measured values and the places to look at show."""

from beadcheck.advice.seen.evenness import uneven
from beadcheck.advice.seen.places import looked_at
from beadcheck.advice.seen.shape import misshapen
from beadcheck.advice.seen.signs import beyond
from beadcheck.advice.seen.spots import spotted
from beadcheck.advice.situation import Situation
from beadcheck.advice.symptom import Sighting, Symptom

__all__ = ["sightings"]


def sightings(situation: Situation) -> dict[Symptom, Sighting]:
    """Every symptom that is seen, each as urgent as the values make it."""
    found: dict[Symptom, Sighting] = {}
    seen = (
        *beyond(situation),
        *spotted(situation),
        *misshapen(situation),
        *uneven(situation),
        *looked_at(situation),
    )
    for each in seen:
        known = found.get(each.symptom)
        if known is None or each.order < known.order:
            found[each.symptom] = each
    return found
