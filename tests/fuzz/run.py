"""Fuzz one way in, guided by coverage: ``python tests/fuzz/run.py words --seconds 900``.

Needs the extra ``fuzz`` (Linux, CPython). Inputs that reach something new are kept in --keep, so
that a later run goes on from there; one that breaks something is written beside them and told.
``shrink.py`` chooses the corpus from them, which ``test_fuzz_corpus.py`` replays.
"""

import argparse
import importlib
import json
import sys
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
TARGETS = ("schedule", "pipe", "words", "record", "backup")
ROOMS = {
    "schedule": ("assistant.schedule", "yaml"),
    "pipe": ("assistant.pipe", "assistant.wire", "assistant.day", "assistant.hearing.words"),
    "words": ("assistant.hearing", "assistant.day"),
    "record": ("assistant.record", "assistant.day"),
    "backup": ("assistant.record", "zipfile"),
}
"""What is watched for coverage; the rest runs at its own speed."""

LONGEST_INPUT_BYTES = {"schedule": 6000, "pipe": 3000, "words": 260, "record": 3000, "backup": 9000}
LONGEST_S = 10
MOST_MEMORY_MB = 1500


def main() -> None:
    """Run until the time is up or something breaks."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("target", choices=TARGETS)
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--keep", type=Path, default=Path("/tmp/kettleside-fuzz"))
    asked = parser.parse_args()
    import atheris

    sys.path[:0] = [str(HERE), str(HERE.parent.parent)]
    with atheris.instrument_imports(include=list(ROOMS[asked.target])):
        harness = importlib.import_module(f"harness_{asked.target}")
    kept = asked.keep / asked.target
    kept.mkdir(parents=True, exist_ok=True)
    words = asked.keep / f"{asked.target}.dict"
    words.write_text("".join(f"{line}\n" for line in _dictionary(asked.target)))
    corpus = HERE / "corpus" / asked.target
    corpus.mkdir(parents=True, exist_ok=True)
    options = [
        f"-timeout={LONGEST_S}",
        f"-rss_limit_mb={MOST_MEMORY_MB}",
        f"-max_len={LONGEST_INPUT_BYTES[asked.target]}",
        f"-max_total_time={asked.seconds}",
        f"-dict={words}",
        f"-artifact_prefix={kept.parent}/broken-{asked.target}-",
        "-print_final_stats=1",
        "-reload=0",
        str(kept),
        str(corpus),
    ]
    atheris.Setup([sys.argv[0], *options], harness.one)
    atheris.Fuzz()


def _dictionary(target: str) -> Iterator[str]:
    """The words of the tables a target reads, as libFuzzer's dictionary has them."""
    from assistant.day.commands import COMMANDS
    from assistant.day.quantities import QUANTITIES
    from assistant.hearing.numbers import TEENS, TENS, UNITS
    from assistant.hearing.vocabulary import SUBJECTS, UNIT_WORDS
    from assistant.record.codec import KINDS
    from assistant.schedule import tables

    quantities = {quantity.value for quantity in QUANTITIES}
    units = {unit for spec in QUANTITIES.values() for unit in spec.units}
    spoken = {phrase for spec in COMMANDS.values() for phrase in spec.words}
    spoken |= {" ".join(name) for table in (SUBJECTS, UNIT_WORDS) for name in table}
    spoken |= {*UNITS, *TEENS, *TENS, "timer", "note", "minus", "point", "hundred"}
    lines = {'{"at":', '"say":', '"reading":', '"quantity":', '"value":', '"unit":', '"done":'}
    odd = {"NaN", "Infinity", "1e999", "\\ud800", "[[[[", "null", "true"}
    written = {
        key
        for group in vars(tables).values()
        if isinstance(group, tables.Group)
        for key in group.keys
    }
    yaml = {"&a", "*a", "<<:", "!!int", "9**9**9", "---", "%YAML", "? ", "- ", " degC", " L", " %"}
    words = {
        "schedule": written | units | yaml | odd,
        "pipe": quantities | units | lines | odd | spoken | {"resume", "start"},
        "words": spoken | units,
        "record": quantities | units | set(KINDS) | odd | {'"at":', '"kind":', '"meanings":'},
    }[target]
    return (json.dumps(word) for word in sorted(words) if word.isascii() and word.isprintable())


if __name__ == "__main__":
    main()
