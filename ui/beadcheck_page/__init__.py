"""The web page: a thin face over the same call as the command."""

from beadcheck_page.codes import codes_for
from beadcheck_page.serving import serve

__all__ = ["codes_for", "serve"]
