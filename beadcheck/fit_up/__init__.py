"""The joint before it is welded: its root opening and its tacks, in a photo from above."""

from beadcheck.fit_up.find import found_opening, joint_depths
from beadcheck.fit_up.opening import JointDepths, Opening, Tack

__all__ = ["JointDepths", "Opening", "Tack", "found_opening", "joint_depths"]
