"""The three stages of a list, and the press that ticks each."""

from dataclasses import dataclass
from enum import StrEnum


class Stage(StrEnum):
    """What is being done with the things on the list."""

    PACK = "pack"
    LOAD = "load"
    HOME = "home"


@dataclass(frozen=True, slots=True)
class StageWords:
    """How a stage is said: its tab, a thing done, a thing to do, and the names of its presses."""

    title: str
    done: str
    to_do: str
    press: str
    undo: str


WORDS = {
    Stage.PACK: StageWords("Pack", "packed", "to pack", "pack", "unpack"),
    Stage.LOAD: StageWords("Load", "loaded", "to load", "load", "unload"),
    Stage.HOME: StageWords("Home", "home again", "to bring home", "home", "away"),
}

# What a press asks for: a button's name, to its stage and whether it shall be so.
PRESSES = {words.press: (stage, True) for stage, words in WORDS.items()} | {
    words.undo: (stage, False) for stage, words in WORDS.items()
}
