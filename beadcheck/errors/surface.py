"""Refusals of the surface."""
