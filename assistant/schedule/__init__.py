"""A brew day's schedule: one YAML file to a checked, frozen ``Schedule``."""

from assistant.schedule.faults import Fault as Fault
from assistant.schedule.faults import ScheduleError as ScheduleError
from assistant.schedule.load import Source as Source
from assistant.schedule.load import load as load
from assistant.schedule.load import load_text as load_text
from assistant.schedule.load import load_with_source as load_with_source
from assistant.schedule.model import Addition as Addition
from assistant.schedule.model import AdditionKind as AdditionKind
from assistant.schedule.model import Chill as Chill
from assistant.schedule.model import ChillMethod as ChillMethod
from assistant.schedule.model import Ferment as Ferment
from assistant.schedule.model import Heater as Heater
from assistant.schedule.model import HeaterKind as HeaterKind
from assistant.schedule.model import HopForm as HopForm
from assistant.schedule.model import Kettle as Kettle
from assistant.schedule.model import Malt as Malt
from assistant.schedule.model import Moment as Moment
from assistant.schedule.model import Package as Package
from assistant.schedule.model import PrimingSugar as PrimingSugar
from assistant.schedule.model import Rest as Rest
from assistant.schedule.model import Schedule as Schedule
from assistant.schedule.model import Units as Units
from assistant.schedule.model import Vessel as Vessel
from assistant.schedule.model import Whirlpool as Whirlpool
from assistant.schedule.model import Yeast as Yeast
from assistant.schedule.model import YeastForm as YeastForm
