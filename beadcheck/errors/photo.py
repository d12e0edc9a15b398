"""Refusals of the photo."""
