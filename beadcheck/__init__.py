"""Measures weld beads from phone photos, each number with its uncertainty."""
