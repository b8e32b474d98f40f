"""What to do about a mash whose wort is weaker than it should be by now."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.schedule.model import Rest

WEAK = 0.004
"""A mash that reads less than this too low is left alone: samples differ; common practice."""

LONGER_MIN = 15.0
"""How much longer a mash rests that is not converted; common practice, no source."""

MASH_GRAVITY = "mash_gravity"


def conversion_finding(rest: Rest, gravity: float, expected: float) -> Finding | None:
    """The finding for a mash that reads ``gravity`` where ``expected`` was likely.

    Time helps only while there is starch, which iodine tells and a hydrometer does not: so the
    rest is not made longer without it. None where the mash is strong enough.
    """
    if expected - gravity < WEAK:
        return None
    longer = Option(
        say="rest longer",
        phrase=f"rest {figures.duration(LONGER_MIN * 60)} longer if iodine turns blue",
        action=Action(do=Do.HOLD, at_c=rest.temperature_c, minutes=LONGER_MIN),
        effect=f"converted as far as it goes, {figures.duration(LONGER_MIN * 60)} later",
    )
    leave = Option(
        say="leave it",
        phrase="leave it if iodine stays brown",
        action=Action(do=Do.LEAVE_IT),
        effect="put right in the boil",
    )
    return Finding(
        about=MASH_GRAVITY,
        finding=f"Mash {figures.points(expected - gravity)} low",
        options=(longer, leave),
        recommended=leave.say,
        why=f"The mash should show {figures.gravity(expected)} by now and shows "
        f"{figures.gravity(gravity)}: starch may be left.",
    )
