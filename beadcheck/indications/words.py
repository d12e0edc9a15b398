"""What is seen, and what to do about it, in words that claim no more than the photo shows."""

from typing import Final

from beadcheck.indications.candidate import CandidateKind

AN_INSPECTOR: Final = "What it is, an inspector says."
_LOOK: Final = {
    CandidateKind.SPOT_ON_FACE: (
        "A pore or a speck of slag looks like this: look here with a loupe."
    ),
    CandidateKind.LINE_AT_TOE: (
        "Undercut or slag in the toe looks like this: look here, and measure it with a gauge."
    ),
    CandidateKind.SPOT_ON_BASE: (
        "Spatter looks like this: look here, and feel whether it stands up."
    ),
    CandidateKind.ROUGH_SPOT: (
        "A stray arc mark looks like this, and so does rust: look here with a loupe."
    ),
    CandidateKind.DIP_AT_END: (
        "An unfilled crater looks like this: look here, and lay a straight edge over it."
    ),
}


def seen_words(kind: CandidateKind, side: str | None) -> str:
    """What is seen.

    Examples
    --------
    >>> seen_words(CandidateKind.LINE_AT_TOE, "left")
    'dark line along the left toe'
    """
    match kind:
        case CandidateKind.SPOT_ON_FACE:
            return "dark round spot on the weld face"
        case CandidateKind.LINE_AT_TOE:
            return f"dark line along the {side} toe"
        case CandidateKind.SPOT_ON_BASE:
            return "dark round spot on the base metal"
        case CandidateKind.ROUGH_SPOT:
            return "rough spot on the base metal, away from the weld"
        case CandidateKind.DIP_AT_END:
            return "dip at the end of the weld"


def look_here_words(kind: CandidateKind) -> str:
    """What may look like this, how to look, and who says what it is."""
    return f"{_LOOK[kind]} {AN_INSPECTOR}"
