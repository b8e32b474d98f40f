"""What follows from a reading of the beer once it is on the record."""

from assistant.cellar.assessing import assess
from assistant.cellar.packaging import judge_packaging, keep_slurry, wanted_before
from assistant.cellar.state import BeerReading, CellarState
from assistant.cellar.turn import Turn
from assistant.cellar.words import progress_words
from assistant.day.effects import Why
from assistant.day.quantities import Quantity


def follow_up(turn: Turn, reading: BeerReading, before: CellarState) -> None:
    """Say what a reading comes to; ``before`` is the beer without it.

    A sensor's is told only where it changes how far the beer has come; of a beer that is packaged
    nothing is foretold.
    """
    if reading.quantity is Quantity.SLURRY_VOLUME:
        keep_slurry(turn, reading.value)
        return
    if turn.state.packaged is not None:
        return
    if reading.gravity is not None and not turn.quiet:
        assessed = assess(turn.state)
        if not reading.sensed or assessed.progress is not assess(before).progress:
            for text in progress_words(turn.state, assessed):
                turn.say(text, Why.ANSWER)
    # A sensor that goes on reporting is no reason to measure out the sugar again.
    completes = not reading.sensed or wanted_before(before) != ()
    if wanted_before(turn.state) == () and completes:
        judge_packaging(turn)
