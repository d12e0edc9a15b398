"""Several photos of one weld as one: round a pipe by its strip, along a plate by its card."""
