"""Makes the sample photos: weld scenes of known dimensions, rendered with Mitsuba.

Needs the extra ``render``. Nothing in beadcheck imports this package.
"""
