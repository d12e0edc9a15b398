"""The web page: photo in, annotated picture and findings out, on this computer only."""

from beadcheck_page.serving import serve

__all__ = ["serve"]
