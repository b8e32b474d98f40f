"""The kettle card: written in the schedule itself or in a file of its own beside it."""

from dataclasses import dataclass
from pathlib import PurePosixPath, PureWindowsPath

from assistant.schedule.faults import Place
from assistant.schedule.groups import Group, Values
from assistant.schedule.model import Heater, HeaterKind, Kettle
from assistant.schedule.readers import Misfit
from assistant.schedule.reading import NOTHING, Node, Scalar

LONGEST_PATH = 200
EFFICIENCY = {HeaterKind.ELECTRIC: 0.9, HeaterKind.INDUCTION: 0.8, HeaterKind.GAS: 0.4}
HEAT_CAPACITY_J_K_L = 110.0
WANTED = (
    "a path relative to this file, with / between folders, such as kettles/garage-35l.yaml, "
    "or the kettle's own keys"
)


@dataclass(frozen=True, kw_only=True)
class KettleOrPath:
    """The kettle's own keys, or the path of its file relative to the schedule's."""

    keys: Group

    @property
    def wanted(self) -> str:
        """What a kettle looks like, for a fault."""
        return WANTED

    def read(self, node: Node, place: Place) -> Values | str:
        """The keys' values or the path, or Misfit."""
        if not isinstance(node, Scalar):
            return self.keys.read(node, place)
        text = node.text
        windows = PureWindowsPath(text)
        rooted = PurePosixPath(text).is_absolute() or windows.drive or windows.root
        usable = text and text.isprintable() and len(text) <= LONGEST_PATH and "\\" not in text
        if usable and not rooted:
            return text
        raise Misfit(text or NOTHING, WANTED)


def build_kettle(values: Values, default_name: str) -> Kettle:
    """The kettle of checked values, its defaults filled in."""
    heater, holds_l = values["heater"], values["holds"]
    return Kettle(
        name=values["kettle"] or default_name,
        holds_l=holds_l,
        heater=Heater(
            kind=heater["kind"],
            power_w=heater["power"],
            efficiency=heater["efficiency"] or EFFICIENCY[heater["kind"]],
        ),
        heat_capacity_j_k=values["heat_capacity"] or HEAT_CAPACITY_J_K_L * holds_l,
        heat_loss_w_k=values["heat_loss"],
        boil_off_l_h=values["boil_off"],
        left_behind_l=values["left_behind"],
        absorption_l_kg=values["absorption"],
        extract_efficiency=values["extract_efficiency"],
        room_c=values["room"],
        tap_water_c=values["tap_water"],
        altitude_m=values["altitude"],
        hydrometer_c=values["hydrometer"],
        wort_correction=values["refractometer"],
    )
