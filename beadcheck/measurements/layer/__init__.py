"""A layer of several beads side by side: how many, the valleys between them, and their widths."""

from beadcheck.measurements.layer.find import find_layer
from beadcheck.measurements.layer.layer import BeadWidth, Layer, NoLayer, Valley

__all__ = ["BeadWidth", "Layer", "NoLayer", "Valley", "find_layer"]
