"""A brew day's schedule: one YAML file to a checked, frozen ``Schedule``."""

from .faults import Fault as Fault
from .faults import ScheduleError as ScheduleError
from .load import Source as Source
from .load import load as load
from .load import load_text as load_text
from .load import load_with_source as load_with_source
from .model import Addition as Addition
from .model import AdditionKind as AdditionKind
from .model import Chill as Chill
from .model import ChillMethod as ChillMethod
from .model import Ferment as Ferment
from .model import Heater as Heater
from .model import HeaterKind as HeaterKind
from .model import HopForm as HopForm
from .model import Kettle as Kettle
from .model import Malt as Malt
from .model import Moment as Moment
from .model import Package as Package
from .model import PrimingSugar as PrimingSugar
from .model import Rest as Rest
from .model import Schedule as Schedule
from .model import Units as Units
from .model import Vessel as Vessel
from .model import Whirlpool as Whirlpool
from .model import Yeast as Yeast
from .model import YeastForm as YeastForm
