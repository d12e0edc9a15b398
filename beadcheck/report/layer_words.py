"""What is said of beads side by side."""

from collections.abc import Sequence

from beadcheck.report.wording import LengthUnit, value_words
from beadcheck.result import BeadWidthRecord, LayerRecord, WholeLayerRecord
from beadcheck.units import Unit


def layer_lines(layer: LayerRecord, unit: LengthUnit) -> tuple[str, ...]:
    """Sentences on the layer of one photo."""
    if layer.not_measured is not None:
        return (f"Beads side by side: not measured. {layer.not_measured}",)
    lines = [f"{layer.count} beads side by side; {_each(layer.count, layer.widths, unit)}."]
    if layer.seen_count is not None and layer.seen_count != layer.count:
        seen = "one bead" if layer.seen_count == 1 else f"{layer.seen_count} beads"
        lines.append(
            f"{layer.count} were entered, but the photo by itself looks like {seen}: count again."
        )
    return tuple(lines)


def whole_layer_lines(layer: WholeLayerRecord | None, unit: LengthUnit) -> tuple[str, ...]:
    """Sentences on the layer of the whole weld; none of a single bead."""
    if layer is None:
        return ()
    return (
        f"{layer.count} beads side by side, by {len(layer.photos)} photos; "
        f"{_each(layer.count, layer.widths, unit)}.",
    )


def _each(count: int, widths: Sequence[BeadWidthRecord], unit: LengthUnit) -> str:
    """Mean width of each bead, and which could not be measured."""
    measured = {each.bead: each for each in widths}
    words = [
        value_words(measured[bead].mean_mm, measured[bead].mean_U_mm, Unit.MM, unit)
        if bead in measured
        else "not measured, too little of its edges is seen"
        for bead in range(1, count + 1)
    ]
    return "visible width from left to right: " + "; ".join(words)
