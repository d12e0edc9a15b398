"""One piece of advice: what was seen, what to change, why, on whose word, and how sure."""

from dataclasses import dataclass
from enum import StrEnum

from beadcheck.advice.push import Lever, Push


class Urgency(StrEnum):
    """Why a piece of advice has its rank; the most urgent stands first here."""

    UNWELDED = "unwelded"
    """Metal between two spots that no pulse has melted."""
    OUTSIDE = "outside"
    """Beyond a limit, by more than the uncertainty."""
    UNDECIDED = "undecided"
    """The uncertainty covers the limit, and beyond it is likelier."""
    SHAPE = "shape"
    """Beyond what is usual, where no limit speaks."""
    EVENNESS = "evenness"
    LOOK = "look"
    """A place that an eye must look at before anything is said of it."""

    @property
    def rank(self) -> int:
        """Place in the order: 0 is the most urgent."""
        return list(Urgency).index(self)


class Sureness(StrEnum):
    """How sure it is that the symptom is there; the cause is only ever likely."""

    SURE = "sure: beyond by more than the uncertainty"
    LIKELY = "likely, not sure: the uncertainty covers the limit"
    LOOK = "not known: look first"


class Basis(StrEnum):
    """Where a link from symptom to change comes from.

    Handbooks are named by what they are. What was read in public text says so.
    """

    DEFECTS_TABLE = "table of imperfections in a welding machine manual (public text)"
    ARMY_COURSE = "US Army course OD1651, Welding Operations I (public text)"
    ARC_MANUAL = "table of bead shapes in an arc welding machine manual, p. 13 (public text)"
    WEAVE_MANUAL = "arc welder owner's manual, on weaving, p. 20 (public text)"
    TROUBLE_TABLES = "tables of pores and spatter in a welding machine manual, p. 39 (public text)"
    BEAD_GLOSSARY = "glossary of bead forming (public text)"
    CRATER_GLOSSARY = "glossary of crater cracks (public text)"
    JOB_NOTES = "a welding institute's job notes, no. 67 (public text)"
    ROOT_NOTES = "a welding institute's notes on incomplete root penetration (public text)"
    WIRE_ARTICLE = "article on the settings of wire welding (public text)"
    DEFECTS_PAGE = "public page on external weld imperfections, 2019 (public text)"
    PIPE_TEXTBOOK = "open textbook on welding pipe, 2024 (public text)"
    TIG_HANDBOOK = "handbook of gas tungsten arc welding, 2021 (public text)"
    PULSE_MANUAL = "manual of a pulsed TIG machine, p. 57 (public text)"
    PULSE_GUIDE = "guide to pulsed TIG settings, 2020 (public text)"
    PULSE_ARTICLE = "article on arc pulsing: 75 % overlap, peak for 35 % of the cycle (public text)"
    OVERLAP_FORMULA = (
        "overlap formula of Process Fundamentals of Industrial Laser Welding and Cutting, p. 81 "
        "(public text)"
    )
    HEAT_FORMULA = "heat input of EN 1011-1, Q = k U I / v (public text)"
    INSPECTION_GUIDE = "guide to welding and weld inspection, 2009, p. 103 (public text)"
    FIT_UP_TEXT = "text on pipe-to-pipe fit-up, fig. 14-4 (public text)"
    EXAM_ANSWERS = "trade examination answers (a weak page only)"
    HANDBOOKS = "welding handbooks (from memory)"
    PRACTICE = "common practice, no published source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One thing to change on the next run.

    Attributes
    ----------
    symptom
        What was measured.
    basis
        Where the link from symptom to change comes from, in words.
    look_first
        What to look at before changing anything; empty where nothing is in doubt.
    next_change
        What to try after that, if the symptom stays; empty where nothing else is known.
    needs
        What the advice would have to be told to give a number; empty where it has one.
    lever
        What the change turns. No two pieces of a set turn the same.
    pushes
        Which way the change goes. No two pieces of a set go opposite ways.
    next_pushes
        Which way the next change goes; it is not opposite to any other piece either.
    """

    symptom: str
    change: str
    why: str
    basis: str
    urgency: Urgency
    lever: Lever
    sure: Sureness = Sureness.SURE
    look_first: str = ""
    next_change: str = ""
    needs: str = ""
    pushes: tuple[Push, ...] = ()
    next_pushes: tuple[Push, ...] = ()
