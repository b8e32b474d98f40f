"""Commands, options, timers and additions, in the moments they belong to."""

import random
from collections.abc import Iterator, Mapping

from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.schedule.model import Units
from speech.corpus import Kind, Utterance, means_something, utterance
from speech.moments import Moment, context_for, doubted, moment_of, offered, questioned, states
from speech.voices import Half

CHOOSING = (Command.FIRST, Command.SECOND, Command.THIRD)

OWN_TIMERS = ("yeast", "chiller water", "lunch", "second stir", "starter")

BEFORE_A_VOWEL = ("eight", "eleven", "eighteen", "eighty")

TIMERS = (
    "{count} minute timer",
    "set {a} {count} minute timer",
    "{count} minute timer for the {name}",
    "set a timer for {count} minutes",
    "start {a} {count} minute timer called {name}",
    "set the {name} timer for {count} minutes",
    "{count} minutes for the {name}",
    "timer for {count} seconds",
    "give me {a} {count} minute timer",
)
COUNTS = {
    Half.TUNE: ("two", "five", "ten", "fifteen", "eighteen", "twenty five", "forty", "fifty"),
    Half.HELD: ("three", "four", "twelve", "thirteen", "sixteen", "twenty", "thirty", "ninety"),
}
LENGTHS = {
    Half.TUNE: ("half an hour", "an hour and a half", "two and a half minutes"),
    Half.HELD: ("a quarter of an hour", "one hour and ten minutes", "a minute and a half"),
}

NAMED: Mapping[Units, tuple[tuple[Stage, str], ...]] = {
    Units.METRIC: (
        (Stage.BOIL, "northern brewer is in"),
        (Stage.BOIL, "the northern brewer is in"),
        (Stage.BOIL, "added northern brewer"),
        (Stage.BOIL, "kettle finings are in"),
        (Stage.BOIL, "finings are in"),
        (Stage.BOIL, "added the finings"),
        (Stage.BOIL, "missed the finings"),
        (Stage.BOIL, "yeast nutrient is in"),
        (Stage.BOIL, "added the yeast nutrient"),
        (Stage.BOIL, "forgot the yeast nutrient"),
        (Stage.BOIL, "first gold at ten minutes is in"),
        (Stage.WHIRLPOOL, "first gold at whirlpool is in"),
        (Stage.BOIL, "leave out northern brewer"),
        (Stage.BOIL, "forgot northern brewer"),
        (Stage.BOIL, "how long for northern brewer"),
    ),
    Units.US: (
        (Stage.STRIKE, "gypsum is in"),
        (Stage.STRIKE, "added the gypsum"),
        (Stage.STRIKE, "lactic acid is in"),
        (Stage.BOIL, "magnum is in"),
        (Stage.BOIL, "added magnum"),
        (Stage.BOIL, "missed the magnum"),
        (Stage.BOIL, "kettle finings are in"),
        (Stage.BOIL, "centennial at ten minutes is in"),
        (Stage.WHIRLPOOL, "centennial at whirlpool is in"),
        (Stage.BOIL, "cascade at flameout is in"),
        (Stage.BOIL, "leave out the finings"),
    ),
}


def orders_said(half: Half, source: random.Random) -> Iterator[Utterance]:
    """Every command with half of its phrases, every option on offer, timers and additions."""
    yield from _commands(half, source)
    yield from _options(source)
    yield from _timers(half, source)
    yield from _additions(source)


def _commands(half: Half, source: random.Random) -> Iterator[Utterance]:
    for command, spec in COMMANDS.items():
        if not spec.stages:
            continue
        plain = [words for words in spec.words if "*" not in words]
        # The usual phrase is in both halves, since it is what will be said; the rest is shared out.
        mine = [plain[0], *plain[1:][half is Half.HELD :: 2]]
        for words in mine:
            moment = _moment_for(command, source)
            yield utterance(words, Kind.COMMAND, moment, source)
    for words in ("cancel the {} timer", "cancel {} timer", "how long for the {}"):
        name = source.choice(OWN_TIMERS)
        moment = context_for(Stage.BOIL, timer=name, which=source.randrange(9))
        yield utterance(words.format(name), Kind.COMMAND, moment, source)


def _moment_for(command: Command, source: random.Random) -> Moment:
    units = source.choice(list(Units))
    if command in (Command.YES, Command.NO):
        return source.choice(questioned(units))
    if command in CHOOSING:
        return source.choice(doubted(units, 3)).moment
    if command in (Command.OPTIONS, Command.WHY):
        return source.choice(offered(units))
    stages = sorted(COMMANDS[command].stages - {Stage.FINISHED}, key=list(Stage).index)
    timer = source.choice(OWN_TIMERS) if command is Command.CANCEL_TIMER else None
    return context_for(source.choice(stages), units=units, timer=timer, which=source.randrange(9))


def _options(source: random.Random) -> Iterator[Utterance]:
    for units in Units:
        for say in sorted({say for moment in offered(units) for say in moment.listening.options}):
            offering = [moment for moment in offered(units) if say in moment.listening.options]
            for moment in source.sample(offering, min(3, len(offering))):
                yield utterance(say, Kind.OPTION, moment, source)


TOO_SHORT = frozenset({"one", "two", "three", "four"})
"""Nobody asks for a timer of so few seconds."""


def _timers(half: Half, source: random.Random) -> Iterator[Utterance]:
    lengths = [form for form in TIMERS if "{count} minute" in form]
    for form in (*TIMERS, *TIMERS):
        short = form.endswith("seconds")
        counts = [count for count in COUNTS[half] if not (short and count in TOO_SHORT)]
        words = _timer(form, source.choice(counts), source)
        yield utterance(words, Kind.TIMER, _any_stage(source), source)
    for length in LENGTHS[half]:
        yield utterance(f"set a timer for {length}", Kind.TIMER, _any_stage(source), source)
    for count in COUNTS[half]:
        words = _timer(source.choice(lengths), count, source)
        yield utterance(words, Kind.TIMER, _any_stage(source), source)


def _timer(form: str, count: str, source: random.Random) -> str:
    article = "an" if count in BEFORE_A_VOWEL else "a"
    return form.format(a=article, count=count, name=source.choice(OWN_TIMERS))


def _any_stage(source: random.Random) -> Moment:
    stages = (Stage.STRIKE, Stage.MASH, Stage.BOIL_UP, Stage.BOIL, Stage.CHILL, Stage.PITCH)
    return context_for(
        source.choice(stages), units=source.choice(list(Units)), which=source.randrange(9)
    )


def _additions(source: random.Random) -> Iterator[Utterance]:
    for units, said in NAMED.items():
        for stage, words in said:
            moments = [moment_of(state) for state in states(units) if state.stage is stage]
            # A mineral has its name only while it is to be stirred in.
            meant = [moment for moment in moments if means_something(words, moment.listening)]
            if not meant:
                raise ValueError(f'"{words}" means nothing in any {units.value} {stage.value}')
            yield utterance(words, Kind.ADDITION, source.choice(meant), source)
