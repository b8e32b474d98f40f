"""A whole fermentation by the pipe, line for line, from the yeast to the glass."""

from golden_fermentation import GOLDEN, golden_fermentation


def test_every_line_is_as_it_was_when_last_read_by_a_person() -> None:
    assert golden_fermentation() == GOLDEN.read_text(), (
        "run python tests/golden_fermentation.py and read the difference"
    )
