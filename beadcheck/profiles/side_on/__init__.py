"""Side-on: the weld's profile where it crosses the outline of the pipe."""

from beadcheck.profiles.side_on.make import side_on_profile

__all__ = ["side_on_profile"]
