"""Refusals of the setting."""
