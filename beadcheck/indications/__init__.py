"""Places on and beside the weld that are worth a look; what they are, an inspector says."""

from beadcheck.indications.candidate import Candidate, CandidateKind, Size
from beadcheck.indications.find import MOST_SHOWN, find_candidates
from beadcheck.indications.words import look_here_words, seen_words

__all__ = [
    "MOST_SHOWN",
    "Candidate",
    "CandidateKind",
    "Size",
    "find_candidates",
    "look_here_words",
    "seen_words",
]
