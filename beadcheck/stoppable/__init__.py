"""Work in processes of their own: what hangs can be stopped, what crashes takes nothing along.

No library is used: the pools of `concurrent.futures` stop no task and lose all at one crash; Pebble
stops tasks, but tells of no steps, and starts through `multiprocessing`, which runs the main module
of whoever calls once more.
"""

from beadcheck.stoppable.process import StoppableProcess

__all__ = ["StoppableProcess"]
