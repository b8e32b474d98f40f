"""A visit to a fermenting beer with sensors, as its command runs it, over a true broker."""

import sys
import time
from pathlib import Path

from brokers import Mosquitto, sensors_file, until
from pitched_day import on_record
from running import running

from assistant.day.events import ReadingTaken, SensorsTroubled, Source
from assistant.record.journal import Journal
from assistant.schedule import Schedule

BEER_C = "topic: beer, quantity: fermenter_temperature, unit: degC, every: 1 s"


def test_a_beer_is_read_by_its_sensor_through_a_dying_broker(
    tmp_path: Path, broker: Mosquitto, amber: Schedule
) -> None:
    on_record(tmp_path / "data", amber, began_wall=time.time() - 2 * 86400)
    card = sensors_file(tmp_path, ("host: 127.0.0.1", f"port: {broker.port}"), BEER_C)
    command = [sys.executable, "-m", "assistant", "tend", "--no-voice"]
    with running([*command, "--data", str(tmp_path / "data"), "--sensors", str(card)]) as visit:
        visit.until("Beer temperature?")

        def answered() -> bool:
            broker.tell(("beer", "19.4"))
            return visit.count("19.4, noted.") > 0

        until(answered, "the sensor answers what was asked")
        for _ in range(20):
            broker.tell(("beer", "19.8"), ("beer", "warm"))
        visit.until("beer: found warm; wanted a number.")
        broker.kill()
        visit.until("The sensors can't be reached. Read by hand.")
        broker.start()
        visit.until("The sensors are back.")
        visit.type("gravity 1.030", "done")
        visit.until("That's all for today.")
    assert visit.count("19.4, noted.") == 1
    with Journal.open(tmp_path / "data", read_only=True) as journal:
        rows = journal.visits(1)
    streamed = [e for e in rows if isinstance(e, ReadingTaken) and e.source is Source.STREAM]
    assert [event.value for event in streamed] == [19.4], "one in a quarter of an hour at most"
    assert sum(isinstance(event, SensorsTroubled) for event in rows) == 2
