"""Height profiles across the weld, and the ways to get them from photos."""

from beadcheck.profiles.profile import Profile, ProfileMethod

__all__ = ["Profile", "ProfileMethod"]
