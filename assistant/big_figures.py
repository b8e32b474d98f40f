"""Figures several lines tall, made of blocks, to be read across a garage."""

from collections.abc import Mapping

ROWS = 5
BLOCK = "█"

GLYPHS: Mapping[str, tuple[str, ...]] = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    "N": ("#   #", "##  #", "# # #", "#  ##", "#   #"),
    "O": ("###", "# #", "# #", "# #", "###"),
    "W": ("#   #", "#   #", "# # #", "## ##", "#   #"),
}

SCALES = ((4, 2), (2, 1), (1, 1))
"""Columns and lines to each dot, the largest first; a character cell is about twice as tall as
it is wide, so the first two keep the proportions."""


def big(text: str, *, width: int, height: int) -> tuple[str, ...]:
    """The lines of ``text`` at the largest scale that fits, or none where not even the least does.

    ``text`` is of digits, colons and the word NOW; ``width`` is in columns and ``height`` in
    lines. Raises KeyError for any other character.
    """
    rows = [" ".join(GLYPHS[character][row] for character in text) for row in range(ROWS)]
    for columns, lines in SCALES:
        if len(rows[0]) * columns <= width and ROWS * lines <= height:
            return tuple(
                "".join((BLOCK if dot == "#" else " ") * columns for dot in row)
                for row in rows
                for _ in range(lines)
            )
    return ()
