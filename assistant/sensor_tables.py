"""The keys of a file of sensors, each with its reader, its default and what is wanted of it."""

import re
from dataclasses import dataclass

from assistant.day.quantities import Quantity
from assistant.schedule.faults import Place
from assistant.schedule.groups import Group, Key, Listing
from assistant.schedule.readers import Measure, Misfit, Name, Number, plain
from assistant.schedule.reading import Node
from assistant.sensor_payload import WHOLE, FieldPath

EVERY_S = 30.0
"""A reading every half minute follows any kettle, and a day of them replays in a second."""

MOST_TOPICS = 40
LONGEST_TOPIC = 200


@dataclass(frozen=True, kw_only=True)
class SensorQuantity:
    """A quantity that a sensor can tell."""

    wanted: str = f"one of {', '.join(q.value for q in Quantity if q is not Quantity.BOILING)}"

    def read(self, node: Node, place: Place) -> Quantity:
        """The quantity, or Misfit."""
        text = plain(node, self.wanted)
        if text == Quantity.BOILING.value:
            raise Misfit(text, "kettle_temperature: that it boils is for eyes to tell")
        if text not in {quantity.value for quantity in Quantity}:
            raise Misfit(text, self.wanted)
        return Quantity(text)


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """Text that a pattern holds for, quoted or not."""

    wanted: str
    pattern: str
    longest: int

    def read(self, node: Node, place: Place) -> str:
        """The text, or Misfit."""
        text = plain(node, self.wanted).strip()
        fits = 1 <= len(text) <= self.longest and text.isprintable()
        if not fits or re.fullmatch(self.pattern, text) is None:
            raise Misfit(text, self.wanted)
        return text


@dataclass(frozen=True, kw_only=True)
class TopicName:
    """The name of one topic."""

    wanted: str = "a topic's name such as brewery/kettle/temperature"

    def read(self, node: Node, place: Place) -> str:
        """The text, or Misfit."""
        text = plain(node, self.wanted)
        if any(sign in text for sign in "+#"):
            raise Misfit(text, "one topic by its whole name: with + or # sensors would be mixed up")
        if not 1 <= len(text) <= LONGEST_TOPIC or not text.isprintable():
            raise Misfit(text, f"{self.wanted}, in 1 to {LONGEST_TOPIC} printable characters")
        return text


@dataclass(frozen=True, kw_only=True)
class Field:
    """A way into a JSON payload."""

    wanted: str = "the way to a number in the message such as temperature or sensors.0.value"

    def read(self, node: Node, place: Place) -> FieldPath:
        """The way, or Misfit."""
        text = plain(node, self.wanted)
        try:
            return FieldPath.parse(text)
        except ValueError as error:
            raise Misfit(text, self.wanted) from error


BROKER = Group(
    example="{host: kitchen.lan}",
    keys={
        "host": Key(
            Fitting(
                wanted="a name or an address such as kitchen.lan or 192.168.1.20",
                pattern=r"[A-Za-z0-9._:-]+",
                longest=253,
            ),
            required=True,
        ),
        "port": Key(Number(what="a port", low=1, high=65535, example="1883")),
        "user": Key(Name(what="the user's name")),
        "password_file": Key(Name(what="the path of a file that holds the password")),
        "password_env": Key(
            Fitting(
                wanted="the name of an environment variable such as MQTT_PASSWORD",
                pattern=r"[A-Za-z_][A-Za-z0-9_]*",
                longest=80,
            )
        ),
        "tls": Key(Name(what="system, or the path of the certificate authority's file")),
        "client_id": Key(
            Fitting(wanted="an id of plain letters and digits", pattern=r"[\w.-]+", longest=23)
        ),
    },
)

TOPIC = Group(
    example="{topic: brewery/kettle, quantity: kettle_temperature, unit: degC}",
    keys={
        "topic": Key(TopicName(), required=True),
        "quantity": Key(SensorQuantity(), required=True),
        "unit": Key(Name(what="the unit of what the message says, such as degC")),
        "field": Key(Field(), default=WHOLE),
        "every": Key(
            Measure(what="a time between readings", unit="s", low=1, high=86_400, example="30 s"),
            default=EVERY_S,
        ),
        "add": Key(
            Fitting(
                wanted="what is to be added to each value such as -0.4 degC",
                pattern=r".+",
                longest=48,
            )
        ),
    },
)

SENSORS = Group(
    example="{broker: {host: kitchen.lan}, topics: [{...}]}",
    keys={
        "broker": Key(BROKER, required=True),
        "topics": Key(Listing(of=TOPIC, what="topics", fewest=1, most=MOST_TOPICS), required=True),
    },
)
