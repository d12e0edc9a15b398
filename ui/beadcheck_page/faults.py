"""What a person is told when the page itself is at fault."""

import logging
import secrets
import traceback


def fault_sentence(log: logging.Logger, error: Exception) -> str:
    """Log an unexpected error under a new id, and return one sentence that names the id.

    The log gets one line; the whole trace goes to its debug level.
    """
    fault = secrets.token_hex(3)
    frames = traceback.extract_tb(error.__traceback__)
    where = f"{frames[-1].name}, line {frames[-1].lineno}" if frames else "unknown place"
    log.error("fault %s: %s: %s (%s)", fault, type(error).__name__, error, where)
    log.debug("fault %s", fault, exc_info=error)
    return (
        f"Something went wrong inside beadcheck (fault {fault}). Try it once more; if it "
        "stays, show this sentence to whoever runs the page."
    )
