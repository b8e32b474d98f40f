"""A row of the table that an account is written as."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class TableRow:
    """A figure or an event at ``at_s`` seconds of the day; both figures are in ``unit``.

    A row ``in_fermenter`` is of the weeks after the day.
    """

    kind: str
    what: str
    at_s: float | None = None
    value: float | None = None
    unit: str = ""
    planned: float | None = None
    note: str = ""
    in_fermenter: bool = False
