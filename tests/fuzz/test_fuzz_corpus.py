"""Every input that once reached something new, or broke something, is still met as it should be."""

import importlib
from pathlib import Path

import pytest

CORPUS = Path(__file__).parent / "corpus"
TARGETS = ("schedule", "pipe", "words", "record", "backup")
LARGEST_BYTES = 300_000


@pytest.mark.parametrize("target", TARGETS)
def test_what_fuzzing_found_is_met_as_it_should_be(target: str) -> None:
    harness = importlib.import_module(f"harness_{target}")
    inputs = sorted((CORPUS / target).iterdir())
    assert len(inputs) > 10
    for path in inputs:
        try:
            harness.one(path.read_bytes())
        except Exception as error:
            raise AssertionError(f"{path} breaks it") from error


def test_the_corpus_is_small() -> None:
    files = [path for path in CORPUS.rglob("*") if path.is_file()]
    assert sum(path.stat().st_size for path in files) < LARGEST_BYTES
