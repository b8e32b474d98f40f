"""How long a simulated brewer takes over things; a person's pace is common practice, no source."""

from dataclasses import dataclass

Range = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Habits:
    """Seconds, each drawn from a range: before turning to a thing, to find an item of the list, to
    reach a tap or switch, to cool a sample, and how long a forgotten addition is left lying.

    ``adding_s`` is how long an addition that was weighed out takes to go in.
    """

    delay_s: Range = (5.0, 25.0)
    item_s: Range = (20.0, 70.0)
    at_once_s: Range = (3.0, 7.0)
    sample_s: Range = (150.0, 210.0)
    forgotten_s: Range = (240.0, 400.0)
    adding_s: float = 15.0
