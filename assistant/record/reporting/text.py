"""A report as plain text for a terminal."""

from assistant.record.page import LONGEST_CELL, columns, paragraph, section
from assistant.record.reporting.section import Laid, Section
from assistant.schedule.faults import harmless


def as_text(laid: Laid) -> str:
    """The report as lines, each harmless to a terminal whatever was dictated."""
    lines = [harmless(laid.title), *(harmless(line, 1000) for line in laid.lines)]
    for part in laid.sections:
        lines += section(part.title, _lines(part))
    return "\n".join(lines)


def _lines(part: Section) -> list[str]:
    lines: list[str] = []
    tables = [table for table in part.tables if table.rows]
    for table in tables:
        if len(tables) > 1:
            lines.append(f"  {harmless(table.caption, LONGEST_CELL)}:")
        lines += columns((table.header, *table.rows))
    for told in part.paragraphs:
        lines += paragraph(told.head, told.text)
    return lines
