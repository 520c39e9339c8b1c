"""Writes reference.csv: what one of each unit is in SI by the definitions of the Python library pint (0.19.2), and wire
gauges by the table in the Python library fluids (1.0.22); neither knows anything of this project. Debian packages
python3-pint and python3-fluids. Run: python3 reference.py > reference.csv
The first two columns are ours, the dimension and our name of the unit; the third is the library's expression for it."""

import math

import fluids.piping
import pint

u = pint.UnitRegistry()
ROWS = [
    ("length", "in", "inch", "m"), ("length", "ft", "foot", "m"), ("length", "yd", "yard", "m"), ("length", "mm", "mm", "m"),
    ("length", "cm", "cm", "m"), ("length", "µm", "micrometer", "m"),
    ("area", "ft²", "foot**2", "m**2"), ("area", "in²", "inch**2", "m**2"), ("area", "cm²", "cm**2", "m**2"), ("area", "mm²", "mm**2", "m**2"),
    ("area", "yd²", "yard**2", "m**2"),
    ("volume", "gal", "gallon", "m**3"), ("volume", "ft³", "foot**3", "m**3"), ("volume", "bd ft", "board_foot", "m**3"),
    ("volume", "in³", "inch**3", "m**3"), ("volume", "yd³", "yard**3", "m**3"), ("volume", "qt", "quart", "m**3"), ("volume", "L", "liter", "m**3"),
    ("volume", "mL", "milliliter", "m**3"), ("volume", "imp gal", "imperial_gallon", "m**3"),
    ("airflow", "cfm", "foot**3/minute", "m**3/s"), ("airflow", "L/s", "liter/s", "m**3/s"), ("airflow", "m³/h", "m**3/hour", "m**3/s"),
    ("airflow", "m³/min", "m**3/minute", "m**3/s"), ("airflow", "L/min", "liter/minute", "m**3/s"), ("airflow", "L/h", "liter/hour", "m**3/s"),
    ("airflow", "gal/h", "gallon/hour", "m**3/s"), ("airflow", "gal/min", "gallon/minute", "m**3/s"), ("airflow", "ft³/h", "foot**3/hour", "m**3/s"),
    ("airflow", "ft³/s", "foot**3/s", "m**3/s"),
    ("speed", "fpm", "foot/minute", "m/s"), ("speed", "ft/s", "foot/s", "m/s"), ("speed", "mm/s", "mm/s", "m/s"), ("speed", "cm/s", "cm/s", "m/s"),
    ("speed", "m/min", "m/minute", "m/s"), ("speed", "km/h", "km/hour", "m/s"), ("speed", "mph", "mile/hour", "m/s"),
    ("pressure", "inH2O", "inch*kilogram/liter*standard_gravity", "Pa"), ("pressure", "mmH2O", "mm*kilogram/liter*standard_gravity", "Pa"),
    ("pressure", "kPa", "kPa", "Pa"), ("pressure", "hPa", "hPa", "Pa"), ("pressure", "mbar", "millibar", "Pa"), ("pressure", "bar", "bar", "Pa"),
    ("pressure", "psi", "psi", "Pa"), ("pressure", "inHg", "inHg", "Pa"), ("pressure", "mmHg", "mmHg", "Pa"),
    ("power", "hp", "horsepower", "W"), ("power", "kW", "kW", "W"), ("power", "PS", "metric_horsepower", "W"), ("power", "Btu/h", "Btu_it/hour", "W"),
    ("voltage", "mV", "mV", "V"), ("voltage", "kV", "kV", "V"), ("current", "mA", "mA", "A"),
    ("mass", "lb", "pound", "kg"), ("mass", "oz", "ounce", "kg"), ("mass", "g", "gram", "kg"), ("mass", "mg", "mg", "kg"), ("mass", "µg", "microgram", "kg"),
    ("mass rate", "mg/min", "mg/minute", "kg/s"), ("mass rate", "g/min", "gram/minute", "kg/s"), ("mass rate", "kg/h", "kg/hour", "kg/s"),
    ("mass rate", "lb/h", "pound/hour", "kg/s"), ("mass rate", "lb/min", "pound/minute", "kg/s"), ("mass rate", "mg/s", "mg/s", "kg/s"),
    ("mass rate", "mg/h", "mg/hour", "kg/s"), ("mass rate", "g/h", "gram/hour", "kg/s"), ("mass rate", "g/s", "gram/s", "kg/s"), ("mass rate", "kg/min", "kg/minute", "kg/s"),
    ("concentration", "mg/m³", "mg/m**3", "kg/m**3"), ("concentration", "µg/m³", "microgram/m**3", "kg/m**3"), ("concentration", "g/m³", "gram/m**3", "kg/m**3"),
    ("concentration", "lb/ft³", "pound/foot**3", "kg/m**3"), ("concentration", "gr/ft³", "grain/foot**3", "kg/m**3"),
    ("concentration", "mg/L", "mg/liter", "kg/m**3"), ("concentration", "kg/L", "kg/liter", "kg/m**3"),
    ("time", "min", "minute", "s"), ("time", "h", "hour", "s"), ("time", "days", "day", "s"), ("time", "weeks", "week", "s"),
    ("time", "months", "month", "s"), ("time", "years", "year", "s"), ("time", "ms", "ms", "s"),
    ("rate", "/h", "1/hour", "1/s"), ("rate", "/min", "1/minute", "1/s"), ("rate", "/day", "1/day", "1/s"), ("rate", "/week", "1/week", "1/s"),
    ("rate", "/month", "1/month", "1/s"), ("rate", "/year", "1/year", "1/s"),
    ("angle", "°", "degree", "rad"),
    ("energy", "kWh", "kWh", "J"), ("energy", "Wh", "watt*hour", "J"), ("energy", "kJ", "kJ", "J"), ("energy", "MJ", "MJ", "J"),
    ("energy", "Btu", "Btu_it", "J"), ("energy", "therm", "100000*Btu_it", "J"),
    ("viscosity", "mPa·s", "centipoise", "Pa*s"), ("viscosity", "µPa·s", "micropascal*s", "Pa*s"),
    ("wire size", "mm²", "mm**2", "m**2"), ("wire size", "kcmil", "1000*circular_mil", "m**2"),
]
print("dimension,unit,pint,si")
for dim, ours, theirs, si in ROWS:
    print(f"{dim},{ours},{theirs},{u.Quantity(1, theirs).to(si).magnitude!r}" if not theirs[0].isdigit() else f"{dim},{ours},{theirs},{u(theirs).to(si).magnitude!r}")
for f in (-40, 0, 32, 68, 85, 212):
    print(f"temperature at,°F,{f} degF,{u.Quantity(f, u.degF).to('K').magnitude!r}")
for c in (-40, 0, 20, 100):
    print(f"temperature at,°C,{c} degC,{u.Quantity(c, u.degC).to('K').magnitude!r}")
for gauge in (2, 4, 6, 8, 10, 12, 14, 16, 18, 20):
    d = fluids.piping.t_from_gauge(gauge, SI=True, schedule="AWG")
    print(f"gauge,{gauge},fluids AWG,{math.pi / 4 * d * d!r}")
