"""Groups of keys and lists of groups, read as a table says; every fault in them is reported."""

from collections.abc import Mapping as Table
from dataclasses import KW_ONLY, dataclass
from typing import Any, Protocol

from assistant.schedule.faults import Place
from assistant.schedule.readers import Misfit, described, did_you_mean, one_of
from assistant.schedule.reading import NOTHING, Mapping, Node, Sequence, Unusable


class Reader(Protocol):
    """Whatever can read one value."""

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""

    def read(self, node: Node, place: Place) -> Any:
        """The checked value; Misfit where the value as a whole is not what is wanted."""


@dataclass(frozen=True)
class Key:
    """One key of a table: its reader, whether it must be there, and its default.

    A default of None is worked out from other keys when the whole is put together.
    """

    reader: Reader
    _: KW_ONLY
    required: bool = False
    default: Any = None


@dataclass(frozen=True, kw_only=True)
class Values:
    """What was read of one group of keys; a key with a fault is missing from ``values``.

    ``node`` is the group as written, or None where the group was left out.
    """

    line: int
    values: Table[str, Any]
    node: Mapping | None = None

    def __getitem__(self, key: str) -> Any:
        return self.values[key]

    def get(self, key: str) -> Any:
        """The value, or None where there is no usable one."""
        return self.values.get(key)

    def gives(self, key: str) -> bool:
        """Whether the key was written, well or badly."""
        return self.node is not None and key in self.node.values

    def line_of(self, key: str) -> int:
        """The line of a key, or of the group where the key was left out."""
        return self.line if self.node is None else self.node.lines.get(key, self.line)

    def written(self, key: str, default: str = NOTHING) -> str:
        """The value of a key in the brewer's own words, or ``default`` where it was left out."""
        given = self.node.values.get(key) if self.node else None
        return default if given is None else described(given)


@dataclass(frozen=True, kw_only=True)
class Group:
    """A group of keys, each read as its table says; ``example`` shows one."""

    keys: Table[str, Key]
    example: str

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"a group of keys such as {self.example}"

    def read(self, node: Node, place: Place) -> Values:
        """The values of a group, its faulty keys left out; Misfit for what is no group."""
        if not isinstance(node, Mapping):
            raise Misfit(described(node), self.wanted)
        self._report_keys(node, place)
        values = {}
        for name, key in self.keys.items():
            if name in node.values:
                value = take(key.reader, node.values[name], place.under(name))
                if value is not None:
                    values[name] = value
            elif key.required:
                place.under(name).fault(node.line, NOTHING, key.reader.wanted)
            else:
                values[name] = key.default
        return Values(line=node.line, values=values, node=node)

    def _report_keys(self, node: Mapping, place: Place) -> None:
        known = list(self.keys)
        for name in node.values:
            if name not in self.keys:
                wanted = one_of(known) + did_you_mean(name, known)
                place.under(name).fault(node.lines[name], "an unknown key", wanted)
        for name, line in node.repeated:
            found = f"it again, first on line {node.lines[name]}"
            place.under(name).fault(line, found, "each key once")

    def within(self, values: Values, key: str) -> Values | None:
        """This group as ``values`` holds it at ``key``, its defaults where it was left out.

        None where it was written but is unusable.
        """
        if values.gives(key):
            group: Values | None = values.get(key)
            return group
        defaults = {name: entry.default for name, entry in self.keys.items()}
        return Values(line=values.line, values=defaults)


@dataclass(frozen=True, kw_only=True)
class Listing:
    """A list of at least ``fewest`` and at most ``most`` groups of one kind."""

    of: Group
    what: str
    fewest: int
    most: int

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"a list of {self.fewest or 'up'} to {self.most} {self.what}"

    def read(self, node: Node, place: Place) -> list[Values | None]:
        """The groups in order, None for one with no usable key; Misfit for what is no list."""
        if not isinstance(node, Sequence):
            raise Misfit(described(node), self.wanted)
        if not self.fewest <= len(node.items) <= self.most:
            raise Misfit(f"{len(node.items)} of them", self.wanted)
        items = enumerate(node.items, start=1)
        return [take(self.of, item, place.item(number)) for number, item in items]


def take(reader: Reader, node: Node, place: Place) -> Any:
    """What the reader makes of a value, or None once its fault is reported."""
    if isinstance(node, Unusable):
        place.fault(node.line, node.found, node.wanted)
        return None
    try:
        return reader.read(node, place)
    except Misfit as misfit:
        place.fault(node.line, misfit.found, misfit.wanted)
        return None
