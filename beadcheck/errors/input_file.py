"""Refusals of the input file."""
