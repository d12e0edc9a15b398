"""Refusals of the target."""
