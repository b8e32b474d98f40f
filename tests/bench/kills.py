"""Does a day survive? `python tests/bench/kills.py --kills 500 --seed 1`.

A day's lines are recorded once; then the same day is driven through the true command and its pipe
and killed at random moments, and goes on, until it has been killed so often. A new day begins every
`--a-day` kills. It prints how often it was killed where, and what was lost; see `killed_days.py`
for what is compared, and what is left out.
"""

import argparse
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "faults"))

from kill_plans import drawn_kills
from killed_days import KilledDay, Tally
from recorded_day import record_day

from assistant.samples import rehearsed_sample


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main(arguments: Sequence[str] | None = None) -> None:
    """Kill and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--a-day", type=int, default=25)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    chance, tally, days = random.Random(asked.seed), Tally(), 0
    began_s = time.perf_counter()
    with tempfile.TemporaryDirectory() as unbroken:
        day = record_day(rehearsed_sample(), Path(unbroken), asked.seed)
    say(f"a day of {len(day.lines)} lines and {len(day.events)} rows")
    while tally.kills < asked.kills:
        count = min(asked.a_day, asked.kills - tally.kills)
        with tempfile.TemporaryDirectory() as folder:
            KilledDay(day, Path(folder), drawn_kills(day, count, chance), tally).run()
        days += 1
        say(f"  {tally.kills} kills, {days} days, {time.perf_counter() - began_s:.0f} s")
    for moment, count in sorted(tally.by_moment.items()):
        say(f"{count:5}  {moment}")
    say(f"{tally.kills:5}  kills in {days} days that all came to their end")
    say(f"rows acknowledged {tally.acknowledged}, of them lost {tally.lost}")
    say(f"rows on record whose answer was not read: {tally.unacknowledged}")
    say(
        f"from start to the answer to resume: median {statistics.median(tally.resumed_s):.2f} s, "
        f"most {max(tally.resumed_s):.2f} s"
    )
    say(f"differences: {len(tally.wrong)}")
    for what in tally.wrong:
        say(f"  {what}")


if __name__ == "__main__":
    main()
