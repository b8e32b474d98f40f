"""Does the program's advice brew a better beer? `python tests/bench/closed_loop.py --days 200`.

Each day has a kettle that differs from its card by hidden truths (`Truths.drawn_evenly`), in a form
of physics drawn for it (`Structure.drawn`), and a brewer who is slow, reads with noise and forgets
an addition in ten. It is played twice, with the advice taken and with "leave it" to every choice.
Nothing is asserted: it prints. `--by structure` splits the days by the form of their physics,
`--brews 4` plays brews one after another in the same kettle, `--ablate NAME` takes a part away,
`--variant NAME` plays with another kettle or brewer than is drawn.
With `--as-card` nothing is hidden: what is off then is the bench's own, most of it steam off the
open kettle below the boil, which the plan does not count.
"""

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from multiprocessing import Pool

from loop_beers import beers, of_one_kettle
from loop_day import DayResult, LoopDay, Setting
from loop_hooks import ABLATIONS, carry
from loop_table import table
from loop_variants import VARIANTS

from assistant.rehearsal.structure import Structure
from assistant.rehearsal.truths import EVENLY, Truths

DAY_TO_DAY = 0.02
"""Standard deviation, as a share, of a kettle's figures from one brew to the next."""

OF_THE_DAY = ("room_k", "tap_k", "grain_k")
"""Truths that are drawn anew for each brew."""


@dataclass(frozen=True, kw_only=True)
class Chain:
    """Brews one after another in one kettle: one for a day by itself."""

    seed: int
    follow_advice: bool
    brews: int
    ablate: str
    variant: str
    beer: str
    as_card: bool


def main(arguments: Sequence[str] | None = None) -> None:
    """Play the days and print the table."""
    asked = _parser().parse_args(arguments)
    began_s = time.perf_counter()
    ways = {"advice taken": True, "left alone": False}
    chains = [
        Chain(
            seed=asked.seed + number,
            follow_advice=follow,
            brews=asked.brews,
            ablate=asked.ablate,
            variant=asked.variant,
            beer=asked.beer,
            as_card=asked.as_card,
        )
        for number in range(asked.days)
        for follow in ways.values()
    ]
    days = _played(chains, asked.jobs)
    lines: list[str] = []
    if asked.list:
        lines += [_line(day) for day in days]
    for title, columns in _columns(days, ways, asked):
        lines += ["", title, *table(columns)]
    lines += [*_pairs(days), *_troubles(days)]
    lines.append(f"{time.perf_counter() - began_s:.0f} s")
    sys.stdout.write("\n".join(lines) + "\n")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0, help="of the first day")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--brews", type=int, default=1, help="one after another in a kettle")
    parser.add_argument("--by", choices=["structure", "beer"])
    parser.add_argument("--ablate", choices=sorted(ABLATIONS), default="none")
    parser.add_argument("--variant", choices=list(VARIANTS), default="as drawn")
    parser.add_argument("--beer", default="", help="only this one: " + ", ".join(beers()))
    parser.add_argument("--as-card", action="store_true", help="a kettle that is as its card says")
    parser.add_argument("--list", action="store_true", help="a line for each day, too")
    return parser


def _played(chains: Sequence[Chain], jobs: int) -> list[DayResult]:
    if jobs <= 1:
        return [day for chain in chains for day in play(chain)]
    with Pool(jobs) as pool:
        return [day for days in pool.imap(play, chains, chunksize=2) for day in days]


def play(chain: Chain) -> list[DayResult]:
    """The days of a chain."""
    found, learned = [], None
    with ABLATIONS[chain.ablate](), VARIANTS[chain.variant].going():
        for brew in range(chain.brews):
            day = LoopDay(replace(setting(chain, brew), learned=learned))
            result = day.run()
            found.append(replace(result, setting=replace(result.setting, learned=None)))
            if not result.stuck:
                learned = carry(day.state)
    return found


def setting(chain: Chain, brew: int) -> Setting:
    """What a brew of a chain is played with; advised or not, it is the same."""
    choice = of_one_kettle() if chain.brews > 1 else beers()
    names = [chain.beer] if chain.beer else list(choice)
    name = names[(chain.seed + brew) % len(names)]
    variant = VARIANTS[chain.variant]
    structure = Structure() if chain.as_card else Structure.drawn(chain.seed)
    return Setting(
        seed=chain.seed,
        name=name,
        schedule=choice[name],
        truths=Truths() if chain.as_card else _truths(chain.seed, brew),
        structure=variant.structure(structure),
        follow_advice=chain.follow_advice,
        brew=brew,
        sensor_s=variant.sensor_s,
    )


def _truths(seed: int, brew: int) -> Truths:
    """The kettle's own truths, a little scattered from brew to brew, and those of the day."""
    truths = Truths.drawn_evenly(seed)
    if brew == 0:
        return truths
    source = random.Random(f"brew {seed} {brew}")
    scattered = {
        name: getattr(truths, name) * source.gauss(1.0, DAY_TO_DAY)
        for name in EVENLY
        if not name.endswith("_k")
    }
    of_the_day = {name: source.uniform(*EVENLY[name]) for name in OF_THE_DAY}
    return replace(truths, **scattered, **of_the_day)


def _columns(
    days: Sequence[DayResult], ways: Mapping[str, bool], asked: argparse.Namespace
) -> Iterable[tuple[str, Mapping[str, list[DayResult]]]]:
    for way, follow in ways.items():
        if asked.by is None and asked.brews == 1:
            yield "All days", {w: _of(days, f) for w, f in ways.items()}
            return
        if asked.by == "structure":
            yield way, {name: _of(days, follow, wanted) for name, wanted in SWITCHES.items()}
        elif asked.by == "beer":
            names = sorted({day.setting.name for day in days})
            yield way, {n: _of(days, follow, lambda s, n=n: s.name == n) for n in names}
        if asked.brews > 1:
            yield (
                way,
                {
                    f"brew {brew + 1}": _of(days, follow, lambda s, brew=brew: s.brew == brew)
                    for brew in range(asked.brews)
                },
            )


Wanted = Callable[[Setting], bool]

SWITCHES: Mapping[str, Wanted] = {
    "one body": lambda s: s.structure.metal_w_k is None,
    "hot metal": lambda s: s.structure.metal_w_k is not None,
    "boils by power": lambda s: s.structure.by_power,
    "boils by eye": lambda s: not s.structure.by_power,
    "share out fixed": lambda s: s.structure.plain_share,
    "share with wort": lambda s: not s.structure.plain_share,
    "slow mash": lambda s: s.structure.dissolves_s > 14 * 60,
    "quick mash": lambda s: s.structure.dissolves_s <= 14 * 60,
}


def _of(
    days: Iterable[DayResult], follow: bool, wanted: Wanted = lambda s: True
) -> list[DayResult]:
    return [d for d in days if d.setting.follow_advice is follow and wanted(d.setting)]


def _pairs(days: Iterable[DayResult]) -> list[str]:
    """How often the advised day came nearer to its plan than the same day left alone."""
    found: dict[tuple[int, int], dict[bool, DayResult]] = {}
    for day in days:
        if not day.stuck:
            key = (day.setting.seed, day.setting.brew)
            found.setdefault(key, {})[day.setting.follow_advice] = day
    pairs = [(pair[True], pair[False]) for pair in found.values() if len(pair) == 2]
    if not pairs:
        return []
    shares = ", ".join(
        f"{name} {100 * sum(off(a) < off(b) for a, b in pairs) / len(pairs):.0f} %"
        for name, off in OFF.items()
    )
    return [f"The advised day of a pair was nearer in: {shares}."]


OFF: Mapping[str, Callable[[DayResult], float]] = {
    "gravity": lambda day: abs(day.gravity_points),
    "volume": lambda day: abs(day.volume_l),
    "rests": lambda day: day.rest_rms_k,
    "bitterness": lambda day: abs(day.ibu_share),
}


def _troubles(days: Iterable[DayResult]) -> list[str]:
    lines = []
    for day in days:
        if day.stuck:
            s = day.setting
            lines.append(f"stuck: seed {s.seed}, {s.name}, advice {s.follow_advice}: {day.stuck}")
    refused = Counter(text for day in days for text in day.refused)
    lines += [f"refused {count} times: {text}" for text, count in refused.most_common(8)]
    return lines


def _line(day: DayResult) -> str:
    s = day.setting
    form = "".join(
        letter if on else "."
        for letter, on in (
            ("m", s.structure.metal_w_k is not None),
            ("p", s.structure.by_power),
            ("s", s.structure.plain_share),
        )
    )
    truths = " ".join(f"{f.name}={getattr(s.truths, f.name):.2f}" for f in fields(s.truths))
    return (
        f"{s.seed:4d} {s.brew} {s.name:<13} {form} {'advised' if s.follow_advice else 'alone':<7} "
        f"{day.gravity_points:+6.2f} pt {day.volume_l:+5.2f} L {day.rest_rms_k:5.2f} K "
        f"{100 * day.ibu_share:+6.1f} % {day.late_min:+6.1f} min asks {day.asks} {truths}"
    )


if __name__ == "__main__":
    main()
