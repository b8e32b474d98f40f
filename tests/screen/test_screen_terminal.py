"""The live screen takes the terminal and gives it back."""

from io import StringIO

import pytest
from rich.console import Console
from rich.text import Text

from assistant.screen import Screen

# Private modes of xterm (Xterm Control Sequences, "DEC Private Mode Set"): the alternate screen
# and the cursor.
OTHER_SCREEN, OWN_SCREEN = "\x1b[?1049h", "\x1b[?1049l"
CURSOR_BACK = "\x1b[?25h"


def terminal() -> tuple[Console, StringIO]:
    out = StringIO()
    return Console(
        file=out, force_terminal=True, width=40, height=6, _environ={"TERM": "xterm"}
    ), out


def test_what_is_shown_appears_at_once() -> None:
    console, out = terminal()
    with Screen(console) as screen:
        screen.show(Text("Beta rest: time left"))
        assert "Beta rest: time left" in out.getvalue()
        assert OTHER_SCREEN in out.getvalue()
        assert OWN_SCREEN not in out.getvalue()


def test_the_old_screen_and_the_cursor_come_back_after_an_error() -> None:
    console, out = terminal()
    with pytest.raises(ZeroDivisionError), Screen(console):
        _ = 1 / 0
    assert out.getvalue().index(OTHER_SCREEN) < out.getvalue().index(OWN_SCREEN)
    assert CURSOR_BACK in out.getvalue()


def test_the_bell_rings_without_disturbing_the_screen() -> None:
    console, out = terminal()
    with Screen(console) as screen:
        before = out.getvalue()
        screen.bell()
        assert out.getvalue() == before + "\x07"
