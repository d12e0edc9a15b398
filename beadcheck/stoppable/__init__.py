"""Work in processes of their own: what hangs can be stopped, what crashes takes nothing along."""

from beadcheck.stoppable.process import StoppableProcess

__all__ = ["StoppableProcess"]
