"""Photos in, result out: the one call behind the command and the page."""

from beadcheck.pipeline.request import MeasuredPhoto, Pointer, Request
from beadcheck.pipeline.run import join, look_at, measure, measure_each

__all__ = ["MeasuredPhoto", "Pointer", "Request", "join", "look_at", "measure", "measure_each"]
