"""How a session of bench readings was set up, field by field, as a test sheet lists it."""

from __future__ import annotations

from pulse1d import units
from pulse1d.compare.claim import describe
from pulse1d.measure.air import RoomAir
from pulse1d.measure.meter_specs import Meter
from pulse1d.measure.reduce import Reduction


def set_up_fields(reduction: Reduction) -> list[tuple[str, str]]:
    """Every field of the set-up.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    fields : list of (name, value)   [-]
    """
    header = reduction.session.header
    test, limits = header.set_up, header.instruments
    return [
        ("bench", header.about.bench),
        ("date", str(header.about.date)),
        ("operator", header.about.operator or "not stated"),
        ("notes", header.about.notes or "none"),
        *(
            (f"part {key}", note.name + (f", serial {note.serial}" if note.serial else ""))
            for key, note in header.parts.items()
        ),
        ("direction", test.direction),
        ("fixed end", test.fixed_end),
        ("test pressure", f"{_inches(test.test_pressure):.4g} inH2O"),
        ("tolerance", f"{100 * test.tolerance:.3g} %"),
        ("other ports", test.other_ports),
        ("adapter", describe(test.adapter)),
        ("gasket", "none" if test.gasket is None else f"{1e3 * test.gasket:.4g} mm"),
        ("outlet stub", test.outlet_stub),
        ("meter inlet", test.meter_inlet),
        *(("meter", f"{m.name}, {m.kind}, shown in {meter_unit(m)[0]}") for m in header.meters),
        (
            "gauges, +-",
            f"test {_inches(limits.test_pressure):.3g} inH2O, meter "
            f"{_inches(limits.meter_pressure):.3g} inH2O, {limits.temperature:.3g} K, barometer "
            f"{limits.barometer:.4g} Pa, humidity {100 * limits.humidity:.3g} %",
        ),
        ("room", _air(header.room)),
        ("reference", _air(header.reference)),
    ]


def meter_unit(meter: Meter) -> tuple[str, str]:
    """Unit and dimension that a meter's reading is printed in.

    Parameters
    ----------
    meter : Meter   [-]
    Returns
    -------
    unit, dimension : str   [-]
    """
    if meter.kind == "critical nozzle":
        return "kPa", "pressure"
    if meter.kind == "flow meter":
        return ("kg/h", "mass flow") if meter.reads == "mass flow" else ("CFM", "volume flow")
    return "inH2O", "pressure"


def _air(air: RoomAir) -> str:
    return (
        f"{air.pressure / 1e3:.6g} kPa, {air.temperature - 273.15:.4g} degC, "
        f"{100 * air.humidity:.3g} % RH"
    )


def _inches(pressure: float) -> float:
    return units.to(pressure, "inH2O", "pressure")
