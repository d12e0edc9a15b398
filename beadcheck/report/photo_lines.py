"""What is said of one photo besides its numbers: beads side by side, and a joint not welded yet."""

from beadcheck.report.fit_up_words import fit_up_lines
from beadcheck.report.layer_words import layer_lines
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result


def photo_lines(result: Result, photo_index: int, unit: LengthUnit) -> tuple[str, ...]:
    """Sentences on one photo; empty of a single bead."""
    layers = [layer for layer in result.layers if layer.photo == photo_index]
    beads = tuple(line for layer in layers for line in layer_lines(layer, unit))
    return beads + fit_up_lines(result, photo_index, unit)
