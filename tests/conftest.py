"""What every test shares: hypothesis without deadlines, and the samples as loaded schedules."""

import pytest
from hypothesis import settings
from sample_files import SAMPLES

from assistant.advice.plan import Plan, make_plan
from assistant.schedule import Schedule, load

settings.register_profile("steady", deadline=None)
settings.load_profile("steady")


@pytest.fixture(scope="session")
def amber() -> Schedule:
    """The metric step-mash sample that is rehearsed."""
    return load(SAMPLES / "breakwater-amber.yaml")


@pytest.fixture(scope="session")
def amber_plan(amber: Schedule) -> Plan:
    """Its plan."""
    return make_plan(amber)
