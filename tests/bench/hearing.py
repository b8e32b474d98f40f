"""How well speech is heard: `python tests/bench/hearing.py`.

Speaks what a brewer says in many voices, quietly and over noise, has the recogniser hear it, and
prints what came of it: right at first, asked again, refused, or acted on wrongly. What was wrong
goes on to the core, as on a brew day: where that asks about an unlikely reading, refuses it, or
only says something, it was "caught"; the rest is "kept". Then people talk who do not mean the
program, and false acts are counted.

Voices and figures are split in two halves: what is tuned on one is measured on the other, with
`--half held`. Writes nothing but spoken words to the machine's temporary folder.
"""

import argparse
import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import TypeVar

# A script has its own folder on the path only.
sys.path.insert(0, str(Path(__file__).parent.parent))

import hearing_trials as trials
from hearing_scores import Heard, Score, Talk, scored
from speech.corpus import FIGURES, utterances
from speech.voices import Half, available, voices_of

from assistant.hearing.engine import EngineFailed
from assistant.hearing.models import best_model

Result = TypeVar("Result")

SHOWN = ("right", "asked", "refused", "caught", "kept")
LINE = "{:<18}{:>5}" + "{:>9}" * len(SHOWN) + "   |{:>5}" + "{:>9}" * len(SHOWN) + "\n"


def main() -> None:
    """Print the tables, or everything as JSON."""
    asked = _arguments()
    half = Half(asked.half)
    voices = [voice for voice in available(half) if not asked.voice or voice in asked.voice]
    if not voices:
        wanted = ", ".join(voices_of(half))
        sys.exit(f"None of the voices wanted can speak here; the half has {wanted}.")
    conditions = [c for c in trials.CONDITIONS if not asked.noise or c.noise in asked.noise]
    plan = trials.trials_of(half, voices, conditions, asked.limit, reverberant=asked.hall)
    setting = trials.Setting(
        half=half, engine=asked.engine, settings=_engine_settings(asked), ear=asked.ear
    )
    talks = trials.talks_of(asked.overheard, asked.jobs)
    try:
        with ProcessPoolExecutor(
            max_workers=asked.jobs,
            mp_context=get_context("spawn"),
            initializer=trials.begin,
            initargs=(setting,),
        ) as pool:
            heard = list(_told(pool.map(trials.hear, plan, chunksize=4), len(plan), "heard"))
            talk = list(_told(pool.map(trials.overhear, talks), len(talks), "talked"))
    except EngineFailed as error:
        sys.exit(str(error))
    if asked.json:
        json.dump(_as_json(heard, talk), sys.stdout, indent=1)
        sys.stdout.write("\n")
        return
    _print_conditions(half, heard)
    _print_voices(heard)
    _print_forms(heard)
    _print_time(heard)
    _print_talk(talk)
    if asked.wrong:
        _print_wrong(heard, talk)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="How well speech is heard.")
    parser.add_argument("--half", choices=[half.value for half in Half], default="tune")
    parser.add_argument(
        "--limit",
        type=int,
        default=24,
        metavar="N",
        help="utterances for each voice in each noise, drawn evenly; 0: all",
    )
    parser.add_argument("--jobs", type=int, default=2, metavar="N", help="processes (2)")
    parser.add_argument("--engine", default="pocketsphinx", help="pocketsphinx or vosk")
    parser.add_argument("--model", metavar="FOLDER", help="Vosk's model, else the one at hand")
    parser.add_argument("--voice", action="append", help="this voice only; may be repeated")
    parser.add_argument("--noise", action="append", help="this noise only; may be repeated")
    parser.add_argument("--hall", action="store_true", help="in a room that echoes")
    parser.add_argument("--ear", action="store_true", help="cut by the ear out of its noise")
    parser.add_argument(
        "--overheard",
        type=float,
        default=10.0,
        metavar="MIN",
        help="minutes of talk that is not meant for the program (10)",
    )
    parser.add_argument("--wrong", action="store_true", help="list what was heard wrongly")
    parser.add_argument("--json", action="store_true", help="print everything as JSON")
    asked = parser.parse_args()
    if asked.jobs < 1 or asked.limit < 0 or asked.overheard < 0:
        parser.error("--jobs is 1 or more, --limit and --overheard 0 or more")
    known = {condition.noise for condition in trials.CONDITIONS}
    for noise in asked.noise or ():
        if noise not in known:
            parser.error(f"there is no noise {noise}; there is {', '.join(sorted(known))}")
    return asked


def _engine_settings(asked: argparse.Namespace) -> tuple[tuple[str, str], ...]:
    if asked.engine != "vosk":
        return ()
    folder = asked.model or best_model()
    if folder is None:
        sys.exit("There is no Vosk model here: name its folder with --model.")
    return (("folder", str(folder)),)


def _told(results: Iterable[Result], count: int, what: str) -> Iterator[Result]:
    """The results as they come, with a line that tells how far it is."""
    for place, result in enumerate(results, 1):
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{what} {place} of {count}" + ("\n" if place == count else ""))
        yield result


def _shares(heard: Sequence[Heard]) -> list[str]:
    score = scored(heard)
    return [str(score.count), *(f"{100 * score.share(name):.1f} %" for name in SHOWN)]


def _row(name: str, heard: Sequence[Heard]) -> str:
    figures = [one for one in heard if one.kind in FIGURES]
    return LINE.format(name, *_shares(heard), *_shares(figures))


def _groups(heard: Sequence[Heard], attribute: str) -> dict[str, list[Heard]]:
    groups: dict[str, list[Heard]] = {}
    for one in heard:
        groups.setdefault(getattr(one, attribute), []).append(one)
    return groups


def _print_conditions(half: Half, heard: Sequence[Heard]) -> None:
    said = {one.words for one in heard}
    sys.stdout.write(
        f"{half.value} half: {len(heard)} utterances of {len(utterances(half))} in the corpus, "
        f"{len(said)} different ones; left everything, right the figures alone\n"
        "right: at first; caught: wrong, but nothing comes of it; kept: wrong\n\n"
    )
    sys.stdout.write(LINE.format("", "n", *SHOWN, "n", *SHOWN))
    for name, group in _groups(heard, "condition").items():
        sys.stdout.write(_row(name, group))
    sys.stdout.write(_row("all", heard))
    asked = [one for one in heard if one.outcome == "asked"]
    if asked:
        meant = sum(one.offered for one in asked) / len(asked)
        sys.stdout.write(f"\nof what was asked, what was meant was offered: {100 * meant:.1f} %\n")


def _print_voices(heard: Sequence[Heard]) -> None:
    conditions = list(_groups(heard, "condition"))
    sys.stdout.write("\nright and kept wrong, in percent, by voice\n")
    sys.stdout.write(" " * 24 + "".join(f"{name:>14}" for name in conditions) + "\n")
    for voice, group in _groups(heard, "voice").items():
        cells = _groups(group, "condition")
        row = "".join(f"{_cell(scored(cells.get(name, []))):>14}" for name in conditions)
        sys.stdout.write(f"{voice:<24}{row}\n")


def _cell(score: Score) -> str:
    if not score.count:
        return "-"
    return f"{100 * score.share('right'):.0f}/{100 * score.share('kept'):.0f}"


def _print_forms(heard: Sequence[Heard]) -> None:
    sys.stdout.write("\nby kind, and figures by their form\n")
    for name, group in sorted(_groups(heard, "kind_name").items()):
        sys.stdout.write(_row(name, group))
    for name, group in sorted(_groups(heard, "form").items()):
        if name:
            sys.stdout.write(_row(f"  {name}"[:18], group))


def _print_time(heard: Sequence[Heard]) -> None:
    took = sorted(one.took_s for one in heard)
    sounding_s = sum(one.sound_s for one in heard)
    if not took:
        return
    sys.stdout.write(
        f"\nheard in {1000 * took[len(took) // 2]:.0f} ms (median), "
        f"{1000 * took[int(0.95 * len(took))]:.0f} ms (p95), "
        f"{sum(took) / sounding_s:.3f} of the sound's own time\n"
    )


def _print_talk(talk: Sequence[Talk]) -> None:
    minutes = sum(one.minutes for one in talk)
    if not minutes:
        return
    acts = sum(len(one.acts) for one in talk)
    asks = sum(one.asks for one in talk)
    sys.stdout.write(
        f"not for us: {minutes:.0f} minutes of talk, {acts} false acts "
        f"({60 * acts / minutes:.1f} an hour), {asks} false questions "
        f"({60 * asks / minutes:.1f} an hour)\n"
    )


def _print_wrong(heard: Sequence[Heard], talk: Sequence[Talk]) -> None:
    sys.stdout.write("\nwrong\n")
    for one in heard:
        if one.outcome in ("caught", "kept"):
            sys.stdout.write(
                f"{one.outcome} {one.voice} {one.condition}: {one.words} -> {one.got}\n"
            )
    for act in (act for one in talk for act in one.acts):
        sys.stdout.write(f"false act: {act}\n")


def _as_json(heard: Sequence[Heard], talk: Sequence[Talk]) -> dict[str, object]:
    return {
        "heard": [one.as_row() for one in heard],
        "not_for_us": [
            {"minutes": one.minutes, "acts": list(one.acts), "asks": one.asks} for one in talk
        ],
    }


if __name__ == "__main__":
    main()
