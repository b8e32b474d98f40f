"""What was brewed and went in otherwise on two days, side by side."""

from collections.abc import Iterable, Iterator
from typing import TypeVar

from assistant.advice import figures
from assistant.record.reporting.account import Account, AdditionAccount
from assistant.record.reporting.names import FATE_WORDS
from assistant.record.reporting.quantities import NONE
from assistant.record.reporting.recipe_words import recipe_section, when
from assistant.record.reporting.section import Paragraph, Section, Table
from assistant.schedule.model import Units

Thing = TypeVar("Thing")


def recipes_beside(one: Account, other: Account, names: tuple[str, str]) -> Section:
    """What stands otherwise in the two recipes; the kettle has a section of its own."""
    units = one.schedule.units
    recipes = [
        {
            (table.caption, key): ", ".join(cell for cell in cells if cell)
            for table in recipe_section(account).tables
            if table.caption != "Kettle"
            for key, cells in counted((first, cells) for first, *cells in table.rows)
        }
        for account in (one, other)
    ]
    keys = list(dict.fromkeys([*recipes[0], *recipes[1]]))
    volumes = [figures.volume(account.schedule.volume_l, units) for account in (one, other)]
    found = [("wanted in the fermenter", *volumes)]
    found += [
        (f"{key[0]}: {key[1]}", *(recipe.get(key, NONE) for recipe in recipes)) for key in keys
    ]
    rows = tuple(row for row in found if row[1] != row[2])
    table = Table(
        caption="Where the recipes differ", header=("what", names[0], names[1]), rows=rows
    )
    return Section(
        key="recipes",
        title="What was brewed otherwise",
        tables=(table,),
        paragraphs=() if table.rows else (Paragraph(head="", text="The recipes are the same."),),
    )


def counted(named: Iterable[tuple[str, Thing]]) -> Iterator[tuple[str, Thing]]:
    """Things by their names, counted where one of that name was there already: ``alpha (2)``."""
    seen: dict[str, int] = {}
    for name, thing in named:
        seen[name] = seen.get(name, 0) + 1
        yield name if seen[name] == 1 else f"{name} ({seen[name]})", thing


def additions_beside(one: Account, other: Account, names: tuple[str, str]) -> Section:
    """What went in on each day, addition by addition."""
    units = one.schedule.units
    went_in = [dict(counted(_named(account.additions))) for account in (one, other)]
    rows = tuple(
        (name, *(_went_in(lines.get(name), units) for lines in went_in))
        for name in dict.fromkeys([*went_in[0], *went_in[1]])
    )
    header = ("addition", names[0], names[1])
    table = Table(caption="As brewed", header=header, rows=rows)
    return Section(key="additions", title="Additions", tables=(table,))


def _named(lines: tuple[AdditionAccount, ...]) -> Iterator[tuple[str, AdditionAccount]]:
    """Each addition by its name and its time, so that it is found in the other day."""
    for line in lines:
        more = "more " if line.extra else ""
        yield f"{more}{line.addition.name}, {when(line.addition)}", line


def _went_in(line: AdditionAccount | None, units: Units) -> str:
    if line is None:
        return NONE
    if line.in_s is None:
        return FATE_WORDS.get(line.fate, "in")
    told = figures.weight(line.weight_g, units)
    if line.boiled_min is not None:
        told += f", boiled {figures.duration(line.boiled_min * 60)}"
    if line.ibu is not None:
        told += f", {line.ibu:.1f} IBU"
    return told
