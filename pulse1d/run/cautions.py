"""What to take care of, said once and printed wherever it applies."""

BENCH = (
    "A prediction, not a measurement. At the bench: ear protection, no loose rags or fingers at "
    "the openings, never all openings blocked at full blower."
)
PULSE = (
    "A prediction, not a measurement. A vessel under pressure stores energy: use a rated vessel "
    "and valve, a relief, ear protection, and stand clear of the outlet."
)
CYCLE = (
    "A prediction, not a measurement: torque and temperatures rest on stated and default engine "
    "data. A running exhaust burns skin and lights what touches it, its gas holds carbon monoxide: "
    "run engines in the open or with extraction, and keep hoses and wiring clear. Changes to an "
    "exhaust may need approval on the road; local codes on emissions and noise come first."
)
LIFE = (
    "A screening, never a certificate. Nothing here replaces a test of the part.",
    "Metal data are typical values, many from memory, none an allowable. Lives are bands: rules "
    "for one bar differ by 2 to 10 times, lives of parts by more. Use the ranking, not the number.",
    "A start here is one full warm-up from cold. Vibration, the weight behind the outlet, dwell, "
    "casting flaws and bad welds are not in it, and break parts sooner.",
    "A cracked manifold leaks hot gas and carbon monoxide near hoses and wiring: inspect it, and "
    "retighten bolts only by the engine's own instructions, cold.",
)
MAKING = (
    "Casting and welding: molten metal, silica and metal dust, chromium(VI) from stainless weld "
    "fume; leak tests with air at low pressure only. Local codes, licensed practice and the engine "
    "maker's limits come before anything printed here."
)
