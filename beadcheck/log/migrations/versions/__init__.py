"""A module per step, named for what it brings."""
