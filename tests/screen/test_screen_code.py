"""The address of a shared board on a terminal, as a phone's camera reads it."""

from io import StringIO

import numpy as np
import pytest
import zxingcpp
from rich.console import Console
from screen.screen_days import GATHERING, brewed

from assistant.day_board import NoBoard
from assistant.screen import draw
from assistant.screen_code import HALVES, Code, code_rows

ADDRESS = "http://192.168.178.124:4716/abcdefghijkmnpqrstuvwxyz23/"
PIXELS = 6


class SharedBoard(NoBoard):
    """A board that other devices can see, with as many readers as are set."""

    address, shared, readers = ADDRESS, True, 0


def photographed(rows: list[str], *, inverted: bool = False) -> np.ndarray:
    """What a camera sees of lines of half blocks: light where there is a block."""
    light = [[bool(HALVES.index(sign) & half) for sign in row] for row in rows for half in (1, 2)]
    picture = np.kron(np.array(light, dtype=np.uint8), np.ones((PIXELS, PIXELS), np.uint8)) * 255
    return 255 - picture if inverted else picture


@pytest.mark.parametrize("inverted", [False, True], ids=["light on dark", "dark on light"])
@pytest.mark.parametrize("address", [ADDRESS, "http://10.0.0.2:4716/", ADDRESS + "x" * 60])
def test_an_independent_reader_gets_the_address_back(address: str, inverted: bool) -> None:
    (found,) = zxingcpp.read_barcodes(photographed(list(code_rows(address)), inverted=inverted))
    assert found.text == address


def rendered(code: Code, width: int = 80, height: int = 40) -> str | None:
    drawn = code.drawn(width, height)
    if drawn is None:
        return None
    out = StringIO()
    Console(file=out, width=width, height=height, color_system=None).print(drawn)
    return out.getvalue()


def test_the_code_stands_on_the_screen_with_its_address_until_a_key_is_pressed() -> None:
    code = Code(SharedBoard())
    shown = rendered(code)
    assert shown is not None
    assert ADDRESS in shown
    rows = [line for line in shown.split("\n") if "▄" in line or "█" in line]
    (found,) = zxingcpp.read_barcodes(photographed(rows))
    assert found.text == ADDRESS
    code.put_away()
    assert rendered(code) is None


def test_it_goes_by_itself_once_somebody_looks() -> None:
    board = SharedBoard()
    code = Code(board)
    board.readers = 1
    assert rendered(code) is None


def test_it_comes_back_when_asked_for_though_somebody_looks() -> None:
    board = SharedBoard()
    board.readers = 1
    code = Code(board)
    assert rendered(code) is None
    assert code.asked_for("Board ")
    assert ADDRESS in (rendered(code) or "")


def test_what_is_said_to_the_day_is_not_taken_for_it() -> None:
    assert not Code(SharedBoard()).asked_for("on board")
    assert not Code(NoBoard()).asked_for("board")


def test_a_board_for_this_machine_alone_has_no_code() -> None:
    assert rendered(Code(NoBoard())) is None


def test_where_the_code_does_not_fit_its_address_stands_alone() -> None:
    shown = rendered(Code(SharedBoard()), width=40, height=12)
    assert shown is not None
    assert "".join(ADDRESS.split()) in "".join(shown.split())
    assert "█" not in shown


def test_the_screen_tells_where_the_board_is() -> None:
    state, said = brewed(GATHERING)
    out = StringIO()
    drawn = draw(
        state,
        typed="",
        heard=(),
        said=said,
        clock="14:32",
        board="http://127.0.0.1:4716/",
        width=80,
        height=40,
    )
    Console(file=out, width=80, height=40, color_system=None).print(drawn)
    assert "http://127.0.0.1:4716/" in out.getvalue()
