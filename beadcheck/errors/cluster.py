"""Refusals of a cluster that photos are sent to."""

from beadcheck.errors.base import BeadcheckError, SettingError


class ClusterExtraMissingError(SettingError):
    """Dask is not installed here."""

    code = "cluster_extra_missing"
    problem = "--cluster needs Dask, which is not installed."
    remedy = 'Install it with: python -m pip install "beadcheck[cluster]"'


class ClusterNotReachedError(SettingError):
    """No scheduler answers at the address."""

    code = "cluster_not_reached"
    problem = "No Dask scheduler answers at {address!r}."
    remedy = "Check the address, as in tcp://10.0.0.5:8786, and that the scheduler runs."

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class ClusterVersionError(SettingError):
    """A worker lacks beadcheck, or has another version of it."""

    code = "cluster_version"
    problem = "A worker of the cluster has {theirs}, and this machine has beadcheck {ours}."
    remedy = "Install the same version on all of them, so that they measure alike."

    def __init__(self, theirs: str, ours: str) -> None:
        super().__init__(theirs, ours)
        self.theirs, self.ours = theirs, ours


class ClusterDaskVersionError(SettingError):
    """The scheduler will not work with the Dask that is installed here."""

    code = "cluster_dask_version"
    problem = "The Dask scheduler at {address!r} has versions that do not fit those here."
    remedy = "Install the same version of Dask on all machines."

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class NoClusterWorkerError(BeadcheckError):
    """A scheduler without workers."""

    code = "no_cluster_worker"
    problem = "For {seconds:g} s the cluster has had no worker."
    remedy = "Start workers, then give the same command again."

    def __init__(self, seconds: float) -> None:
        super().__init__(seconds)
        self.seconds = seconds


class WorkersLostError(BeadcheckError):
    """A photo took one worker after another with it, or the cluster gave it up."""

    code = "workers_lost"
    problem = "The cluster gave this photo up ({how})."
    remedy = "Measure it on this machine, without --cluster, to see why."

    def __init__(self, how: str) -> None:
        super().__init__(how)
        self.how = how
