"""Choose the corpus of a target from what fuzzing kept: ``python tests/fuzz/shrink.py words``.

The few inputs that reach most of what all of them reach, each named by its hash. Inputs are looked
at as ``run.py`` keeps them (--keep); needs nothing that the tests don't.
"""

import argparse
import hashlib
import importlib
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

HERE = Path(__file__).parent
PACKAGE = str(HERE.parent.parent / "assistant")

Step = tuple[str, int, int]
"""From one line of a file to another."""


def main() -> None:
    """Write the corpus anew."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("target", choices=("schedule", "pipe", "words", "record", "backup"))
    parser.add_argument("--keep", type=Path, default=Path("/tmp/kettleside-fuzz"))
    parser.add_argument("--most", type=int, default=48)
    parser.add_argument("--largest", type=int, default=2500, help="bytes of one input")
    asked = parser.parse_args()
    sys.path[:0] = [str(HERE), str(HERE.parent.parent)]
    one = importlib.import_module(f"harness_{asked.target}").one
    corpus = HERE / "corpus" / asked.target
    corpus.mkdir(parents=True, exist_ok=True)
    found = [*corpus.iterdir(), *(asked.keep / asked.target).iterdir()]
    inputs = {path.read_bytes() for path in found}
    reached = {data: _steps(one, data) for data in inputs if len(data) <= asked.largest}
    for path in corpus.iterdir():
        path.unlink()
    for data in _chosen(reached, asked.most):
        (corpus / hashlib.sha256(data).hexdigest()[:16]).write_bytes(data)


def _steps(one: Callable[[bytes], None], data: bytes) -> set[Step]:
    steps: set[Step] = set()
    before: dict[int, int] = {}

    def in_frame(frame: FrameType, event: str, _: Any) -> Any:
        steps.add((frame.f_code.co_filename, before.get(id(frame), 0), frame.f_lineno))
        before[id(frame)] = frame.f_lineno
        return in_frame

    def at_call(frame: FrameType, event: str, _: Any) -> Any:
        if not frame.f_code.co_filename.startswith(PACKAGE):
            return None
        before.pop(id(frame), None)
        return in_frame

    sys.settrace(at_call)
    try:
        one(data)
    finally:
        sys.settrace(None)
    return steps


def _chosen(reached: dict[bytes, set[Step]], most: int) -> list[bytes]:
    """Greedily those that add the most; of two that add as much, the smaller."""
    chosen: list[bytes] = []
    left = set().union(*reached.values())
    while left and len(chosen) < most:
        best = max(reached, key=lambda data: (len(reached[data] & left), -len(data), data))
        if not reached[best] & left:
            break
        left -= reached[best]
        chosen.append(best)
    return chosen


if __name__ == "__main__":
    main()
