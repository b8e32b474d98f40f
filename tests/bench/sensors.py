"""What sensors cost: messages a second they bear, the way from broker to day, and idleness.

Starts a Mosquitto of its own on loopback; prints, and asserts nothing.
"""

import argparse
import asyncio
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).parent.parent / "sensors"))

from aiomqtt import Client
from brokers import MOSQUITTO, Mosquitto, sensors_file, until

from assistant.day.quantities import Quantity
from assistant.sensing import Sensors
from assistant.sensor_card import SensorCard, load_sensors
from assistant.sensor_payload import WHOLE, number_in

GLANCE_S = 0.05
KETTLE = "topic: kettle, quantity: kettle_temperature, unit: degC, every: 1 s"
LAST = "topic: last, quantity: room_temperature, unit: degC, every: 1 s"


FLOOD = """
import sys
from paho.mqtt.client import CallbackAPIVersion, Client
client = Client(CallbackAPIVersion.VERSION2)
client.connect("127.0.0.1", int(sys.argv[1]))
client.loop_start()
for number in range(int(sys.argv[2])):
    sent = client.publish("kettle", f"{60 + number % 100 / 10}")
sent.wait_for_publish()
client.disconnect()
"""
"""Publishes as fast as one program can, in a process of its own."""


def tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--messages", type=int, default=20_000)
    asked.add_argument("--idle-s", type=float, default=20.0)
    options = asked.parse_args()
    if MOSQUITTO is None:
        sys.exit("there is no Mosquitto here")
    with tempfile.TemporaryDirectory() as name, Mosquitto(Path(name)) as broker:
        keys = ("host: 127.0.0.1", f"port: {broker.port}")
        card = load_sensors(sensors_file(Path(name), keys, KETTLE, LAST))
        with Sensors(card) as sensors:
            until(sensors.news, "the broker is there")
            _alone(card)
            _idle(sensors, options.idle_s)
            _delays(broker.port, card)
            _borne(sensors, broker.port, options.messages)


def _alone(card: SensorCard) -> None:
    sensors, count = Sensors(card), 50_000
    began_s = time.process_time()
    for number in range(count):
        sensors.take_in("kettle", f"{60 + number % 100 / 10}".encode())
    each_us = 1e6 * (time.process_time() - began_s) / count
    began_s = time.process_time()
    for _ in range(count):
        number_in(b"66.4", WHOLE)
    read_us = 1e6 * (time.process_time() - began_s) / count
    tell(f"a message taken in: {each_us:.0f} us, {read_us:.1f} us of it to read its number")


def _borne(sensors: Sensors, port: int, messages: int) -> None:
    """How many a second are taken in while they are sent as fast as one program can."""
    seen, last_s = 0, 0.0
    taking = sensors.take_in

    def counted(topic: str, payload: bytes, *, retained: bool = False) -> None:
        nonlocal seen, last_s
        seen, last_s = seen + 1, time.perf_counter()
        taking(topic, payload, retained=retained)

    sensors.take_in = counted  # type: ignore[method-assign]
    began_s, began_cpu_s = time.perf_counter(), time.process_time()
    subprocess.run([sys.executable, "-c", FLOOD, str(port), str(messages)], check=True)
    sent_s = time.perf_counter() - began_s
    time.sleep(2)
    cpu_s = time.process_time() - began_cpu_s
    del sensors.take_in
    tell(
        f"{messages} messages sent in {sent_s:.1f} s: {seen} taken in by {last_s - began_s:.1f} s, "
        f"the rest dropped; {1e6 * cpu_s / max(seen, 1):.0f} us of CPU each"
    )


def _delays(port: int, card: SensorCard) -> None:
    """From publishing to a reading in the hands of the loop, which looks every 50 ms."""
    delays_ms: list[float] = []
    moved_s = 0.0
    with Sensors(card, now_s=lambda: time.monotonic() + moved_s) as sensors:
        until(sensors.news, "the broker is there")

        async def measure() -> None:
            nonlocal moved_s
            async with Client("127.0.0.1", port) as client:
                for number in range(200):
                    moved_s += 5.0
                    began_s = time.perf_counter()
                    await client.publish("last", f"{10 + number % 20}")
                    while not sensors.taken({Quantity.ROOM_TEMPERATURE}):
                        await asyncio.sleep(0.0005)
                    delays_ms.append(1000 * (time.perf_counter() - began_s))

        asyncio.run(measure())
    cuts = quantiles(delays_ms, n=20)
    tell(
        f"from publishing to a reading: {median(delays_ms):.1f} ms at the median, "
        f"{cuts[-1]:.1f} ms at the 95th of a hundred, and up to {1000 * GLANCE_S:.0f} ms until "
        "the loop looks"
    )


def _idle(sensors: Sensors, seconds: float) -> None:
    """What it costs to listen to sensors that say nothing, looked at as the loop does."""
    began_s, until_s = time.process_time(), time.monotonic() + seconds
    while time.monotonic() < until_s:
        sensors.taken()
        sensors.news()
        time.sleep(GLANCE_S)
    tell(f"idle: {100 * (time.process_time() - began_s) / seconds:.2f} % of a core")


if __name__ == "__main__":
    main()
