"""Invented bench readings whose truth is known.

A bench is made up with its meters, gauges, leak and drift, its errors drawn from a seed, and parts
of known flow are put on it. ``session`` gives the readings as objects, ``invent`` as the text of a
file. With every error set to 0 the reduction must give back the true flows.

The demonstration file ``cases/pump/readings_log_tubular.yaml`` is ``demo()``; write it anew with
``python -m tests.invented_readings``. Its truth is ``demo_truth()``: predictions of the cases near
175/181/185/189 CFM (log) and 247/252/252/251 CFM (tubular) at 28 inH2O, the log 2.5 % up and the
tubular 1.5 % down as a common error of the model, with 0.6 % of spread from port to port. One fault
is planted: a gasket lip left standing in port 3 of the tubular part takes 6 % of its flow in every
remount. The file itself says only that it is invented.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.measure.air import RoomAir, density, gas_constant, ratio_of_heats
from pulse1d.measure.reading import Reading, Session
from pulse1d.measure.spec import Header

CFM = 0.3048**3 / 60.0
INCH = 249.09
"""Of water, as in pulse1d/units.txt [Pa]."""
DEMO = Path(__file__).parents[1] / "cases/pump/readings_log_tubular.yaml"
RATED = {"range 1": 6.0, "range 3": 220.0, "range 4": 300.0}
"""Flow of each range at 10 inH2O across it, density 1.2041 kg/m3 [CFM]."""
RATED_PRESSURE, RATED_DENSITY = 10.0 * INCH, 1.2041
CHECK = 200.0
"""True and certified flow of the check plate [CFM]."""
Truth = Mapping[tuple[str, str], float]


@dataclass(frozen=True)
class World:
    """The invented bench, the day's plan and the size of every error (standard deviations)."""

    remounts: int = 3
    order: str = "ABBA"
    """Parts in each pair and the next: A the first part of the truth; "blocks": all of A first."""
    readings: int = 1
    """Readings in every remount."""
    remount_sd: float = 0.004
    reading_sd: float = 0.0015
    seat_sd: float = 0.002 / math.sqrt(2.0)
    """Of a part's seat and alignment, the same on every port and in every remount."""
    setting_sd: float = 0.002
    """Of the test pressure about its nominal value."""
    plate_sd: float = 0.005
    """Of each range's constant in this session."""
    check_sd: float = 0.005
    """Of the check plate's certificate."""
    gauges: bool = True
    """Whether every gauge has an offset, anywhere within its limit."""
    drift: float = 0.002
    """Relative growth of what the bench reads from first row to last."""
    warming: float = 0.5
    """Of the room over the session [K]."""
    leak_cfm: float = 1.0
    leak_limit: float = 0.5
    """A leak moves by up to this, +-, after it was read, once for each part and port [CFM]."""
    fault: tuple[Any, ...] | None = None
    """("leak", part, CFM) or ("blocked", part, port, share)."""
    meters: dict[str, str] = field(default_factory=dict)
    """Part to its range; "range 4" unless stated."""
    check_plate: bool = True
    certified: bool = True
    bench: str = "invented bench"
    date: str = "2026-03-02"
    direction: str = "blown"
    fixed_end: str = "port"
    other_ports: str = "blanked"
    test_pressure: float = 28.0
    """[inH2O]"""
    notes: str = "Invented readings."
    names: dict[str, str] = field(default_factory=dict)
    """Part to its entry in ``parts``, in YAML."""
    digits: int | None = None
    """Decimals of the pressures shown, in inH2O; None for all."""


QUIET = World(
    remount_sd=0.0, reading_sd=0.0, seat_sd=0.0, setting_sd=0.0, plate_sd=0.0, check_sd=0.0,
    gauges=False, drift=0.0, leak_limit=0.0, warming=0.0,
)  # fmt: skip
"""A bench without errors."""
ROOM = RoomAir(pressure=99500.0, temperature=294.15, humidity=0.40)
REFERENCE = RoomAir()
LIMITS = {
    "test pressure": 0.05 * INCH,
    "meter pressure": 0.02 * INCH,
    "temperature": 0.5,
    "barometer": 100.0,
    "humidity": 0.05,
}
"""Limits of the gauges, +- [SI]."""


def header(world: World, parts: tuple[str, ...]) -> str:
    """Everything above the rows, as it stands in a file."""
    named = "".join(
        f"  {part}: {world.names.get(part, '{name: ' + part + '}')}\n" for part in parts
    )
    used = {"range 1", *(world.meters.get(part, "range 4") for part in parts)}
    used |= {"range 4"} if world.check_plate else set()
    meters = "".join(
        f"  - {{name: {name}, kind: calibrated plate, rated flow: {flow:g} CFM, "
        "rated pressure: 10 inH2O, uncertainty: 1 %}\n"
        for name, flow in RATED.items()
        if name in used
    )
    flow = f"flow: {CHECK:g} CFM, " if world.certified else ""
    check = f"check plate: {{{flow}uncertainty: 1 %}}\n" if world.check_plate else ""
    return f"""format: pulse1d readings 1
about: {{bench: {world.bench}, date: {world.date}, notes: {world.notes}}}
parts:
{named}set-up:
  direction: {world.direction}
  fixed end: {world.fixed_end}
  test pressure: {world.test_pressure:g} inH2O
  tolerance: 2 %
  other ports: {world.other_ports}
  adapter: {{shape: port, edge radius: 6 mm}}
  gasket: 1.5 mm
  outlet stub: none
  meter inlet: room
meters:
{meters}instruments:
  test pressure: 0.05 inH2O
  meter pressure: 0.02 inH2O
  temperature: 0.5 K
  barometer: 1 hPa
  humidity: 5 %
room: {{pressure: 99.5 kPa abs, temperature: 21 degC, humidity: 40 %}}
reference: {{pressure: 101.325 kPa abs, temperature: 20 degC, humidity: 0 %}}
{check}"""


def _nozzle(p0: float, p: float, T: float, R: float, gamma: float) -> float:
    """Mass flow of isentropic flow through one square metre, not choked [kg/s]."""
    r = p / p0
    head = 2.0 * gamma / (gamma - 1.0) * (r ** (2.0 / gamma) - r ** ((gamma + 1.0) / gamma))
    return p0 / math.sqrt(R * T) * math.sqrt(head)


def _flux(p_room: float, dp: float, T: float, air: RoomAir, blown: bool) -> float:
    """Mass flow of the part's air through one square metre at a pressure across it [kg/s]."""
    ends = (p_room + dp, p_room) if blown else (p_room, p_room - dp)
    R = float(gas_constant(p_room, air.temperature, air.humidity))
    gamma = ratio_of_heats(p_room, air.temperature, air.humidity, T)
    return _nozzle(*ends, T, R, gamma)


def _plan(
    world: World, truth: Truth, parts: tuple[str, ...], ports: tuple[str, ...]
) -> list[tuple[Any, ...]]:
    """What is read, in order: (what, part, port, remount)."""
    plan: list[tuple[Any, ...]] = [
        ("leak", part, port, 1) for port in ports for part in parts if (part, port) in truth
    ]
    check = [("check", "", "", 1)] * world.check_plate
    for port in ports:
        plan += check
        for letter, remount in _mounts(world, len(parts)):
            plan += [("part", parts["AB".index(letter)], port, remount)] * world.readings
    return [item for item in plan + check if item[0] != "part" or item[1:3] in truth]


def _mounts(world: World, parts: int) -> list[tuple[str, int]]:
    """Part and remount number in the order of one port's mounts."""
    numbers = range(1, world.remounts + 1)
    if parts == 1 or world.order == "blocks":
        return [(letter, k) for letter in "AB"[:parts] for k in numbers]
    sides = world.order * world.remounts
    return [(letter, k) for k in numbers for letter in sides[2 * k - 2 : 2 * k]]


def session(truth: Truth, seed: int = 1, world: World = World(), name: str = "") -> Session:
    """Readings of parts of known flow, as the reader would give them.

    truth: (part, port) to flow [CFM] at the test pressure and the reference state.
    """
    rng = np.random.default_rng(seed)
    parts = tuple(dict.fromkeys(part for part, _ in truth))
    ports = tuple(dict.fromkeys(port for _, port in truth))
    blown, nominal = world.direction == "blown", world.test_pressure * INCH
    limits = {key: limit if world.gauges else 0.0 for key, limit in LIMITS.items()}
    off = {key: rng.uniform(-limit, limit) for key, limit in limits.items()}
    off["part temperature"] = rng.uniform(-1.0, 1.0) * limits["temperature"]
    plate = {key: 1.0 + world.plate_sd * rng.standard_normal() for key in RATED}
    seat = {part: math.exp(world.seat_sd * rng.standard_normal()) for part in parts}
    moved = {key: world.leak_limit * rng.uniform(-1.0, 1.0) for key in truth}
    certificate = 1.0 + world.check_sd * rng.standard_normal()
    reference = _flux(REFERENCE.pressure, nominal, REFERENCE.temperature, REFERENCE, blown)
    to_area = CFM * density(REFERENCE) / reference
    air = RoomAir(
        pressure=ROOM.pressure + off["barometer"],
        temperature=ROOM.temperature,
        humidity=ROOM.humidity + off["humidity"],
    )
    plan = _plan(world, truth, parts, ports)
    mounts: dict[tuple[Any, ...], float] = {}
    rows = []
    for k, (what, part, port, remount) in enumerate(plan):
        warm = world.warming * k / len(plan)
        T_part, T_meter = 297.15 + warm, 294.35 + warm
        dp = nominal * (1.0 + world.setting_sd * rng.standard_normal())
        area = world.leak_cfm * to_area  # the bench's own: it stays with whatever stands on it
        if what == "check":
            area += CHECK * certificate * to_area
        elif what == "part":
            key = (part, port, remount)
            if key not in mounts:
                mounts[key] = math.exp(world.remount_sd * rng.standard_normal())
            area += truth[part, port] * to_area * seat[part] * mounts[key] * _open(world, key)
            area += (moved[part, port] + _extra(world, part)) * to_area
        mdot = area * _flux(air.pressure, dp, T_part, air, blown)
        shown = mdot * math.exp(world.reading_sd * rng.standard_normal())
        shown *= 1.0 + world.drift * k / max(len(plan) - 1, 1)
        meter = "range 1" if what == "leak" else world.meters.get(part, "range 4")
        rho = air.pressure / (
            float(gas_constant(air.pressure, air.temperature, air.humidity)) * T_meter
        )
        rated = RATED[meter] * CFM * plate[meter] * math.sqrt(RATED_DENSITY * rho)
        across = RATED_PRESSURE * (shown / rated) ** 2
        rows.append(
            Reading(
                0, k + 1, what, part, port, remount, meter,
                _rounded(dp + off["test pressure"], world.digits),
                _rounded(across + off["meter pressure"], world.digits),
                T_part + off["part temperature"], T_meter + off["temperature"],
                ROOM.pressure, ROOM.humidity,
            )
        )  # fmt: skip
    return Session(_header(world, parts), tuple(rows), name)


def _open(world: World, key: tuple[Any, ...]) -> float:
    """Share of the flow that a planted blockage leaves."""
    fault = world.fault
    blocked = fault is not None and fault[0] == "blocked" and fault[1:3] == key[:2]
    return 1.0 - fault[3] if blocked and fault is not None else 1.0


def _extra(world: World, part: str) -> float:
    """A planted leak of the part, which the blanked test did not show [CFM]."""
    fault = world.fault
    return fault[2] if fault is not None and fault[0] == "leak" and fault[1] == part else 0.0


def _rounded(pressure: float, digits: int | None) -> float:
    return pressure if digits is None else round(pressure / INCH, digits) * INCH


_HEADERS: dict[str, Header] = {}


def _header(world: World, parts: tuple[str, ...]) -> Header:
    text = header(world, parts)
    if text not in _HEADERS:
        from ruamel.yaml import YAML

        _HEADERS[text] = Header.model_validate(YAML(typ="safe").load(text))
    return _HEADERS[text]


def invent(truth: Truth, seed: int = 1, world: World = World()) -> str:
    """The same readings as the text of a file."""
    made = session(truth, seed, world)
    parts = tuple(dict.fromkeys(part for part, _ in truth))
    digits = world.digits
    pressure = ".15g" if digits is None else f".{digits}f"
    temperature = ".15g" if digits is None else ".1f"
    lines = [
        "order,what,part,port,remount,meter,test pressure [inH2O],meter pressure [inH2O],"
        "part temperature [degC],meter temperature [degC]"
    ]
    lines += [
        f"{r.order},{r.what},{r.part},{r.port},{r.remount},{r.meter},"
        f"{r.test_pressure / INCH:{pressure}},{r.meter_reading / INCH:{pressure}},"
        f"{r.T_part - 273.15:{temperature}},{r.T_meter - 273.15:{temperature}}"
        for r in made.readings
    ]
    return header(world, parts) + "rows: |\n" + "".join(f"  {line}\n" for line in lines)


def demo_truth() -> dict[tuple[str, str], float]:
    """True flows of the demonstration, without the fault [CFM]."""
    rng = np.random.default_rng(20260302)
    predicted = {"log": (175.0, 181.0, 185.0, 189.0), "tubular": (247.0, 252.0, 252.0, 251.0)}
    common = {"log": 1.025, "tubular": 0.985}
    return {
        (part, str(k + 1)): flow * common[part] * (1.0 + 0.006 * rng.standard_normal())
        for part, flows in predicted.items()
        for k, flow in enumerate(flows)
    }


def demo() -> str:
    """Text of the demonstration file."""
    world = World(
        remounts=4,
        fault=("blocked", "tubular", "3", 0.06),
        digits=3,
        notes="Invented readings of invented parts; no bench was run.",
        names={
            "log": '{name: pump log, serial: "1", case: log.yaml}',
            "tubular": '{name: pump tubular, serial: "1", case: tubular.yaml}',
        },
    )
    top = (
        "# Invented readings: the sold log and the tubular part, every port alone, four remounted "
        "pairs\n# in ABBA order. They show what a file of readings looks like and what can be read "
        "from it.\n"
    )
    return top + invent(demo_truth(), 20260302, world)


if __name__ == "__main__":
    DEMO.write_text(demo(), encoding="utf-8")
    print(DEMO)
