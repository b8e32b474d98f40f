"""Text in lines of a given width, safe to be sent to a terminal whatever a file had in it."""

from collections.abc import Iterable

from rich.cells import cell_len, chop_cells
from rich.text import Text

BETWEEN = " / "


def plain(text: str) -> str:
    """The text with nothing in it that a terminal could take for an order."""
    return "".join(character if character.isprintable() else " " for character in text)


def wrapped(text: str, width: int, style: str = "") -> list[Text]:
    """The text in lines of at most ``width`` columns, broken at spaces where it can be."""
    lines = [""]
    for word in plain(text).split():
        for piece in chop_cells(word, max(width, 1)) if cell_len(word) > width else [word]:
            joined = f"{lines[-1]} {piece}" if lines[-1] else piece
            if cell_len(joined) <= width:
                lines[-1] = joined
            else:
                lines.append(piece)
    return [Text(line, style=style) for line in lines if line]


def packed(parts: Iterable[str], width: int) -> tuple[Text, ...]:
    """The parts on as few lines as they need, broken only between parts."""
    lines: list[str] = []
    for part in map(plain, parts):
        joined = f"{lines[-1]}{BETWEEN}{part}" if lines else part
        if lines and cell_len(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(part)
    texts = tuple(Text(line) for line in lines)
    for text in texts:
        text.truncate(width, overflow="ellipsis")
    return texts
