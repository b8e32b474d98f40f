"""What a brewer can say: each command with its words, its meaning and the stages it belongs to.

This table is the only place a command's words stand. A phrase with ``*`` takes a name in that
place: an addition, a timer. Adding a command is a row here, its handler in ``replies`` and its
test. Readings, numbers, notes and timers of the brewer's own have forms of their own in
``hearing``.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice.timeline import Stage

EVERY = frozenset(Stage) - {Stage.FINISHED}
ALWAYS = frozenset(Stage)
AFTERWARDS: frozenset[Stage] = frozenset()
"""For what belongs to no brew day, but to the weeks after it."""
HOT = frozenset({Stage.MASH, Stage.LIFT, Stage.BOIL_UP, Stage.BOIL, Stage.WHIRLPOOL})


class Command(Enum):
    """A thing that can be said, other than a figure or a note."""

    DONE = "done"
    YES = "yes"
    NO = "no"
    UNDO = "undo"
    SKIP = "skip"
    BACK = "back"
    FIRST = "the first"
    SECOND = "the second"
    THIRD = "the third"
    WHATS_NEXT = "what's next"
    HOW_LONG = "how long"
    WHERE = "where are we"
    REPEAT = "repeat"
    HELP = "help"
    OPTIONS = "options"
    WHY = "why"
    SLOWER = "slower"
    FASTER = "faster"
    LOUDER = "louder"
    QUIETER = "quieter"
    OTHER_VOICE = "another voice"
    STOP = "stop"
    PAUSE = "pause"
    CARRY_ON = "carry on"
    CANCEL_TIMER = "cancel timer"
    WATER_READY = "water is ready"
    GRAIN_IN = "grain is in"
    BAG_OUT = "bag is out"
    BOILING = "boiling"
    LID_OFF = "lid is off"
    HOPS_IN = "hops are in"
    ADDED = "it's in"
    MISSED = "missed it"
    FLAME_OUT = "flame out"
    WHIRLPOOL_DONE = "whirlpool done"
    CHILLED = "chilled"
    TRANSFERRED = "transferred"
    AERATED = "aerated"
    PITCHED = "pitched"
    CLEANED = "all clean"
    PACKAGED = "packaged"


@dataclass(frozen=True, kw_only=True)
class CommandSpec:
    """The words for a command, what it means in one line, and where it makes sense."""

    words: tuple[str, ...]
    meaning: str
    stages: frozenset[Stage] = EVERY


COMMANDS: Mapping[Command, CommandSpec] = {
    Command.DONE: CommandSpec(
        words=("done", "ok", "okay", "that's done", "finished", "got it"),
        meaning="the task or reminder at hand is done",
    ),
    Command.YES: CommandSpec(
        words=("yes", "yes please", "correct", "that's right"),
        meaning="yes, to a question",
    ),
    Command.NO: CommandSpec(
        words=("no", "wrong", "that's wrong", "not that"),
        meaning="no, to a question; else take back the last reading",
    ),
    Command.UNDO: CommandSpec(
        words=("undo", "undo that", "take that back"),
        meaning="take back the last thing you said; again for the one before",
        stages=ALWAYS,
    ),
    Command.SKIP: CommandSpec(
        words=("skip", "skip it", "skip this", "next", "move on"),
        meaning="leave what is at hand and go on",
    ),
    Command.BACK: CommandSpec(
        words=("back", "go back", "back a step"),
        meaning="return to the stage before",
    ),
    Command.FIRST: CommandSpec(
        words=("the first", "first", "the first one", "first one"),
        meaning="of the things you may have said, the first",
    ),
    Command.SECOND: CommandSpec(
        words=("the second", "second", "the second one", "second one"),
        meaning="of the things you may have said, the second",
    ),
    Command.THIRD: CommandSpec(
        words=("the third", "third", "the third one", "third one"),
        meaning="of the things you may have said, the third",
    ),
    Command.WHATS_NEXT: CommandSpec(
        words=("what's next", "what next", "what comes next"),
        meaning="what comes next and when",
    ),
    Command.HOW_LONG: CommandSpec(
        words=("how long", "how long left", "how much longer", "how long for *"),
        meaning="how long is left",
    ),
    Command.WHERE: CommandSpec(
        words=("where are we", "where am i", "status"),
        meaning="the stage and what is open",
        stages=ALWAYS,
    ),
    Command.REPEAT: CommandSpec(
        words=("repeat", "say again", "say that again", "what was that", "pardon"),
        meaning="say the last thing again",
        stages=ALWAYS,
    ),
    Command.HELP: CommandSpec(
        words=("help", "what can i say"),
        meaning="what can be said now",
        stages=ALWAYS,
    ),
    Command.OPTIONS: CommandSpec(
        words=("options", "what are my options", "what should i do"),
        meaning="say the open advice again",
    ),
    Command.WHY: CommandSpec(
        words=("why", "why is that", "why so", "how come", "tell me why"),
        meaning="the reason for the last advice, with its figures",
        stages=ALWAYS,
    ),
    Command.SLOWER: CommandSpec(
        words=("slower", "speak slower", "slow down"),
        meaning="speak slower",
        stages=ALWAYS,
    ),
    Command.FASTER: CommandSpec(
        words=("faster", "speak faster", "speed up"),
        meaning="speak faster",
        stages=ALWAYS,
    ),
    Command.LOUDER: CommandSpec(
        words=("louder", "speak louder", "speak up"),
        meaning="speak louder",
        stages=ALWAYS,
    ),
    Command.QUIETER: CommandSpec(
        words=("quieter", "speak quieter", "softer", "not so loud"),
        meaning="speak more softly",
        stages=ALWAYS,
    ),
    Command.OTHER_VOICE: CommandSpec(
        words=("another voice", "other voice", "change voice", "change the voice"),
        meaning="speak with the next of the voices there are",
        stages=ALWAYS,
    ),
    Command.STOP: CommandSpec(
        words=("stop", "quiet", "be quiet", "hush", "silence"),
        meaning="say no more of what is being said; what is due stays due",
        stages=ALWAYS,
    ),
    Command.PAUSE: CommandSpec(
        words=("pause", "hold on", "wait"),
        meaning="stop the clock of this rest, boil or steep",
        stages=HOT,
    ),
    Command.CARRY_ON: CommandSpec(
        words=("carry on", "go on", "continue", "unpause"),
        meaning="let the clock run again",
        stages=HOT,
    ),
    Command.CANCEL_TIMER: CommandSpec(
        words=("cancel timer", "cancel the timer", "cancel the * timer", "cancel * timer"),
        meaning="drop a timer of your own",
    ),
    Command.WATER_READY: CommandSpec(
        words=("water is ready", "water's ready", "strike is ready", "strike water is ready"),
        meaning="the strike water is hot enough",
        stages=frozenset({Stage.GATHER, Stage.STRIKE}),
    ),
    Command.GRAIN_IN: CommandSpec(
        words=("grain is in", "grain's in", "doughed in", "mashed in"),
        meaning="the grain is in and stirred",
        stages=frozenset({Stage.GATHER, Stage.STRIKE, Stage.DOUGH_IN}),
    ),
    Command.BAG_OUT: CommandSpec(
        words=("bag is out", "bag's out", "bag is lifted", "lifted"),
        meaning="the bag is out of the kettle",
        stages=frozenset({Stage.DOUGH_IN, Stage.MASH, Stage.LIFT}),
    ),
    Command.BOILING: CommandSpec(
        words=("boiling", "it's boiling", "rolling boil", "we have a boil"),
        meaning="the wort has come to a rolling boil",
        stages=frozenset({Stage.MASH, Stage.LIFT, Stage.BOIL_UP, Stage.WHIRLPOOL}),
    ),
    Command.LID_OFF: CommandSpec(
        words=("lid is off", "lid's off", "lid off"),
        meaning="the lid is off",
        stages=frozenset({Stage.BOIL_UP, Stage.BOIL}),
    ),
    Command.HOPS_IN: CommandSpec(
        words=("hops are in", "hops in", "hops are added"),
        meaning="the hops that are due are in the kettle",
        stages=frozenset({Stage.LIFT, Stage.BOIL_UP, Stage.BOIL, Stage.WHIRLPOOL}),
    ),
    Command.ADDED: CommandSpec(
        words=(
            "it's in",
            "they're in",
            "* is in",
            "* are in",
            "added *",
            "added",
        ),
        meaning="the addition, or what goes into the strike water or the mash, is in",
        stages=frozenset(
            {Stage.STRIKE, Stage.MASH, Stage.LIFT, Stage.BOIL_UP, Stage.BOIL, Stage.WHIRLPOOL}
        ),
    ),
    Command.MISSED: CommandSpec(
        words=("missed it", "missed the hops", "missed *", "forgot it", "forgot *", "leave out *"),
        meaning="an addition will not go in",
        stages=frozenset({Stage.BOIL_UP, Stage.BOIL, Stage.WHIRLPOOL}),
    ),
    Command.FLAME_OUT: CommandSpec(
        words=("flame out", "flameout", "heat is off", "boil is over"),
        meaning="the boil is over and the heat off",
        stages=frozenset({Stage.BOIL_UP, Stage.BOIL}),
    ),
    Command.WHIRLPOOL_DONE: CommandSpec(
        words=("whirlpool done", "whirlpool is done", "whirlpool's done"),
        meaning="whirlpool, steep and settling are over",
        stages=frozenset({Stage.BOIL, Stage.WHIRLPOOL}),
    ),
    Command.CHILLED: CommandSpec(
        words=("chilled", "it's chilled", "wort is cold", "cold enough"),
        meaning="the wort is cold",
        stages=frozenset({Stage.BOIL, Stage.WHIRLPOOL, Stage.CHILL}),
    ),
    Command.TRANSFERRED: CommandSpec(
        words=("transferred", "it's in the fermenter", "fermenter is full"),
        meaning="the wort is in the fermenter",
        stages=frozenset({Stage.CHILL, Stage.TRANSFER}),
    ),
    Command.AERATED: CommandSpec(
        words=("aerated", "it's aerated", "splashed"),
        meaning="the wort is aerated",
        stages=frozenset({Stage.PITCH}),
    ),
    Command.PITCHED: CommandSpec(
        words=("pitched", "yeast is in", "yeast's in", "yeast is pitched"),
        meaning="the yeast is in",
        stages=frozenset({Stage.TRANSFER, Stage.PITCH}),
    ),
    Command.CLEANED: CommandSpec(
        words=("all clean", "cleaned", "cleaned up"),
        meaning="everything is clean",
        stages=frozenset({Stage.CLEAN}),
    ),
    Command.PACKAGED: CommandSpec(
        words=("packaged", "bottled", "kegged", "it's bottled", "it's in the keg", "all bottled"),
        meaning="the beer is in its bottles or its keg",
        stages=AFTERWARDS,
    ),
}
