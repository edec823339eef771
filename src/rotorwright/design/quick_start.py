"""Quick start: a few numbers make a complete, commented aircraft file whose generic fill-ins are marked.

Only geometry and rules of thumb live here; whether the result flies is for the studies to find out, which change the
sizes and write the file again.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputProblems, Problem
from rotorwright.design.quick_start_gear import SMALLEST_WHEEL, gear, tail_wheel_up, wheels_aft
from rotorwright.design.units import plain_number, shorten

ROTOR_KINDS = ("free vaned", "driven vaned", "driven drum")
THRUST_SOURCES = ("propeller", "fan")
INCH = 0.0254
NOSE_GAP = 0.012
"""Between the propeller's plane and the nose of the body [m]."""
CELL = 3.7  # nominal voltage of a lithium-polymer cell [V] (label convention)

# Rotor kind → mass over projected area of a 1 kg aeroplane [kg/m²], aspect ratio of one rotor, disc ratio, thrust over
# weight asked of the propeller standing still (judgement, set by trial until usual orders could fly)
_RULES = {
    "free vaned": (4.0, 4.0, 1.4, 1.3),
    "driven vaned": (5.0, 4.0, 1.4, 1.2),
    "driven drum": (8.0, 6.0, 1.8, 0.9),
}


@dataclass(frozen=True)
class QuickStartSizes:
    """Every number a quick-start file is written from (SI, file axes); change any with `dataclasses.replace`."""

    name: str
    mass: float
    span_limit: float
    elevation: float
    temperature: float
    rotor_kind: str
    thrust_source: str
    cells: int
    rotor_span: float
    rotor_diameter: float
    rotor_aft: float
    rotor_side: float
    rotor_up: float
    disc_diameter: float
    disc_count: int
    stages: int
    skin_thickness: float
    body_length: float
    body_width: float
    body_height: float
    boom_diameter: float
    tail_aft: float
    tail_span: float
    tail_chord: float
    fin_height: float
    fin_chord: float
    thruster_diameter: float
    propeller_pitch: float
    motor_speed_constant: float
    motor_mass: float
    thrust_line_up: float
    battery_capacity: float
    drive_speed_constant: float
    drive_motor_mass: float
    drive_ratio: float
    drive_speed: float
    wheel_diameter: float
    balance_aft: float
    rest_mass: float = 0.0
    battery_aft: float = 0.0
    balanced: bool = False
    thrust_tilt: float = 0.0
    tail_incidence: float = 0.0
    rotor_count: int = 2
    """Two beside the body, or one across above it."""
    discs: bool = True
    payload: float = 0.0
    """Mass to carry [kg], part of the whole."""
    sheet: str = "foam sheet"
    """Material of skins, vanes and discs."""
    length_limit: float = 0.0
    """Longest allowed [m]; 0: none."""

    @classmethod
    def guess(
        cls,
        mass: float,
        span_limit: float,
        elevation: float,
        temperature: float,
        rotor_kind: str,
        thrust_source: str = "propeller",
        cells: int = 3,
        *,
        name: str = "Quick start",
    ) -> QuickStartSizes:
        """Return first sizes from a few numbers.

        Parameters
        ----------
        mass : float
            Ready to fly [kg].
        span_limit : float
            Largest span over everything [m].
        elevation : float
            Of the field [m].
        temperature : float
            Of the air [K].
        rotor_kind : str
            One of `ROTOR_KINDS`.
        thrust_source : str
            One of `THRUST_SOURCES`.
        cells : int
            Cells in series.
        name : str
            What to call the aeroplane.

        Raises
        ------
        InputProblems
            If a number is outside what can be sized.

        Notes
        -----
        Projected rotor area = mass / loading, loading growing with mass^(1/3); two equal rotors beside a slim body; the
        wished-for aspect ratio yields to the span limit; discs 1.4 (vaned) or 1.8 (drum) diameters; tail arm 1.6 times
        the root of the rotor area, tail area 0.3 and fin area 0.12 of it; propeller from the static thrust asked for by
        T = C_T ρ n² D⁴ with C_T = 0.1. Source: judgement throughout.
        """
        _check_guess(mass, span_limit, elevation, temperature, rotor_kind, thrust_source, cells)
        loading, aspect, disc_ratio, thrust_share = _RULES[rotor_kind]
        area = mass / (loading * mass ** (1.0 / 3.0))
        body_width = max(0.06 * mass ** (1.0 / 3.0), 0.035)
        gap = 0.015 * mass ** (1.0 / 3.0) + 0.005
        span = math.sqrt(area / 2.0 * aspect)
        span = min(span, (span_limit - body_width - 2.0 * gap) / 2.0 - 0.005)
        diameter = area / 2.0 / span
        stages = 1 if rotor_kind == "driven drum" else max(2, min(5, round(span / diameter / 1.4)))
        side = body_width / 2.0 + gap + span / 2.0
        disc = disc_ratio * diameter
        up = 0.5 * body_width + 0.1 * diameter
        arm = 1.6 * math.sqrt(area)
        nose = max(0.57 * math.sqrt(area), 0.6 * disc + 0.03)
        tail_area, fin_area = 0.30 * area, 0.12 * area
        tail_span = math.sqrt(3.2 * tail_area)
        fin_height = math.sqrt(1.3 * fin_area)
        speed = 7.5 * mass ** (1.0 / 6.0)
        static_thrust = thrust_share * mass * 9.80665
        power = cls._thruster(thrust_source, static_thrust, speed, mass, cells)
        drive_speed = 1.4 * speed / (diameter / 2.0)
        drive_mass = max(0.015, 0.05 * mass) if rotor_kind != "free vaned" else 0.02
        drive_constant = min(max(1100.0 * (0.06 / drive_mass) ** 0.5 * 3.0 / cells, 200.0), 3000.0) * RPM
        return cls(
            name=name,
            mass=mass,
            span_limit=span_limit,
            elevation=elevation,
            temperature=temperature,
            rotor_kind=rotor_kind,
            thrust_source=thrust_source,
            cells=cells,
            rotor_span=span,
            rotor_diameter=diameter,
            rotor_aft=nose,
            rotor_side=side,
            rotor_up=up,
            disc_diameter=disc,
            disc_count=stages + 1,
            stages=stages,
            skin_thickness=0.003 if diameter <= 0.2 else 0.006,
            body_length=nose + diameter,
            body_width=body_width,
            body_height=1.2 * body_width,
            boom_diameter=min(max(0.010 * mass ** (1.0 / 3.0), 0.006), 0.030),
            tail_aft=nose + arm,
            tail_span=tail_span,
            tail_chord=tail_area / tail_span,
            fin_height=fin_height,
            fin_chord=fin_area / fin_height,
            thruster_diameter=power[0],
            propeller_pitch=power[1],
            motor_speed_constant=power[2],
            motor_mass=power[3],
            thrust_line_up=up + 0.75 * disc + 0.6 * power[0] if thrust_source == "fan" else 0.0,
            battery_capacity=power[4],
            drive_speed_constant=drive_constant,
            drive_motor_mass=drive_mass,
            drive_ratio=min(max(0.75 * drive_constant * CELL * cells / drive_speed, 1.0), 40.0),
            drive_speed=drive_speed,
            wheel_diameter=max(0.045, 0.06 * mass ** (1.0 / 3.0)),
            balance_aft=nose,
        )

    @staticmethod
    def _thruster(source: str, thrust: float, speed: float, mass: float, cells: int) -> tuple[float, ...]:
        """Return diameter, pitch, motor speed constant, motor mass and battery capacity for a static thrust."""
        if source == "fan":
            diameter = min(max(0.064 * (thrust / 6.0) ** 0.5, 0.04), 0.2)
            jet = thrust**1.5 / (2.0 * math.sqrt(1.225 * 0.9 * 0.81 * math.pi / 4.0) * diameter)
            shaft = jet / 0.55  # of generic fans
            turning = 125.0 / (diameter / 2.0)  # tip speed of generic fans [m/s]
            pitch = diameter
        else:
            diameter = 9.5 * INCH * (thrust / 7.0) ** 0.4
            revolutions = math.sqrt(thrust / (0.1 * 1.225)) / diameter**2
            pitch = min(max(2.3 * speed / revolutions, 0.4 * diameter), 0.75 * diameter)
            shaft = (0.02 + 0.045 * pitch / diameter) * 1.225 * revolutions**3 * diameter**5 * 1.15
            turning = 2.0 * math.pi * revolutions
        motor_mass = max(0.012, shaft / 0.75 / 3000.0)  # 3 W of input per gram sustained
        constant = turning / (0.72 * CELL * cells)
        capacity = shaft / 0.75 * 0.45 * 480.0 / (0.8 * CELL * cells)  # eight minutes at a little under half power
        return diameter, pitch, constant, motor_mass, max(capacity, 800.0)

    def settled(self) -> QuickStartSizes:
        """Return the sizes with what is left of the mass as one item, and battery and item placed for the balance.

        Raises
        ------
        InputError
            If the parts alone are heavier than the aeroplane is to be.
        """
        from rotorwright.design.aircraft_file import loads
        from rotorwright.design.fill import fill

        bare = replace(self, rest_mass=0.0, battery_aft=self.rotor_aft, balanced=True)
        masses = fill(loads(quick_start_file(bare), "quick start")).masses
        rest = self.mass - float(masses["mass"].sum())
        if rest < 0.0:
            message = "cannot be met: the parts alone are heavier"
            hint = "Allow more mass, a smaller span, or fewer cells"
            found = f"{plain_number(1000.0 * (self.mass - rest))} g of parts"
            raise InputProblems(
                [Problem(message, "quick start", None, "mass", found, f"{plain_number(self.mass * 1e3)} g", hint)]
            )
        done = replace(bare, rest_mass=rest)
        movable = rest + self.battery_capacity / 3600.0 * CELL * self.cells / 140.0
        for _ in range(4):  # controllers sit midway to the battery and move with it
            masses = fill(loads(quick_start_file(done), "quick start")).masses
            balance = float((masses["mass"] * -masses["x"]).sum() / masses["mass"].sum())
            place = done.battery_aft + (self.balance_aft - balance) * self.mass / movable
            done = replace(done, battery_aft=min(max(place, 0.03), self.tail_aft))
        return done


def _check_guess(
    mass: float,
    span_limit: float,
    elevation: float,
    temperature: float,
    rotor_kind: str,
    thrust_source: str,
    cells: int,
) -> None:
    problems: list[Problem] = []

    def need(field: str, good: bool, found: str, allowed: str) -> None:
        if not good:
            problems.append(Problem("cannot be used to size an aeroplane", "quick start", None, field, found, allowed))

    heavy_enough = 0.1 <= mass <= 60.0
    need("mass", heavy_enough, f"{plain_number(mass)} kg", "100 g to 60 kg")
    least = 0.35 * mass ** (1.0 / 3.0) if heavy_enough else 0.05  # a wrong mass says nothing about the span
    allowed = f"{plain_number(max(least, 0.16), 2)} m (for this mass) to 12 m"
    need("span limit", least <= span_limit <= 12.0, f"{plain_number(span_limit)} m", allowed)
    need("elevation", -500.0 <= elevation <= 6000.0, f"{plain_number(elevation)} m", "-500 m to 6000 m")
    celsius = f"{plain_number(temperature - 273.15)} degC"
    need("temperature", 233.15 <= temperature <= 333.15, celsius, "-40 degC to 60 degC")
    need("rotor kind", rotor_kind in ROTOR_KINDS, shorten(rotor_kind), ", ".join(ROTOR_KINDS))
    need("thrust source", thrust_source in THRUST_SOURCES, shorten(thrust_source), ", ".join(THRUST_SOURCES))
    need("cells", 1 <= cells <= 16, str(cells), "1 to 16 in series")
    if problems:
        raise InputProblems(problems)


def _mm(metres: float) -> str:
    return f'"{plain_number(round(metres * 1000.0, 1))} mm"'


def _degrees(radians: float) -> str:
    return f"{plain_number(round(math.degrees(radians), 1))} deg"


def _grams(kilograms: float) -> str:
    return f'"{plain_number(round(kilograms * 1000.0, 1), 5)} g"'


def _half_inches(metres: float) -> str:
    return plain_number(round(metres / INCH * 2.0) / 2.0, 3)


def propeller_size(sizes: QuickStartSizes) -> str:
    """Return diameter and pitch of the propeller as it is sold, in half inches: ``13x7``."""
    return f"{_half_inches(sizes.thruster_diameter)}x{_half_inches(sizes.propeller_pitch)}"


def quick_start_file(sizes: QuickStartSizes) -> str:
    """Return the complete, commented aircraft file of these sizes.

    Parameters
    ----------
    sizes : QuickStartSizes

    Returns
    -------
    text : str
        TOML. Lines that were guessed rather than told end in ``# generic``.

    Raises
    ------
    InputError
        If a size is not a finite number.
    """
    for field in fields(sizes):
        number = getattr(sizes, field.name)
        if isinstance(number, float) and not math.isfinite(number):
            raise InputProblems([Problem("is not a finite number", "quick start", None, field.name, str(number))])
    writers: tuple[Callable[[QuickStartSizes], str], ...] = (_head, _rotor, _drive, _airframe, _thruster, _rest)
    text = "\n".join(part for part in (write(sizes) for write in writers) if part)
    return "\n".join(_aligned(line) for line in text.split("\n"))


_REMARK = re.compile(r"([^#]*\S)\s+(# .*)\Z")


def _aligned(line: str) -> str:
    """Return a line with its closing remark moved to one column."""
    match = _REMARK.match(line)
    return f"{match.group(1):<51} {match.group(2)}" if match and not line.startswith(("#", "name")) else line


def _head(s: QuickStartSizes) -> str:
    name = (
        "".join(letter for letter in s.name if letter.isprintable()).replace("\\", "/").replace('"', "'")[:120]
        or "Quick start"
    )
    return f'''# {name}: written by the quick start from mass, span limit, field, rotor kind, thrust source and cells.
# Lines that end in "# generic" are guesses: replace them by what you build, buy, weigh or measure.
# Places are [aft, right, up] from the nose point. Units: mm, cm, m, in, ft, g, kg, oz, lb ... whatever you measure in.

format = 1
name = "{name}"

[field]
elevation = "{plain_number(s.elevation)} m"
temperature = "{plain_number(round(s.temperature - 273.15, 1))} degC"
surface = "short grass"                 # generic

[reserve]                               # what must be in hand before it counts as flying
climb = "0.5 m/s"                       # generic
bank = "20 deg"                         # generic
'''


def _rotor(s: QuickStartSizes) -> str:
    drum = s.rotor_kind == "driven drum"
    two = s.rotor_count == 2
    side = s.rotor_side if two else 0.0
    disc = f'diameter = {_mm(s.disc_diameter)}, thickness = "3 mm", count = {s.disc_count}, material = "{s.sheet}"'
    drive = '"free"                          # the wind turns it' if s.rotor_kind == "free vaned" else '"belt"'
    section = "" if drum else 'section = "s-section"                   # generic\n'
    stages = (
        ""
        if drum
        else f"stages = {s.stages}                              # generic: sections turned against each other\n"
    )
    head = (
        "[rotor.right]                           # its mirror on the left turns the same way"
        if two
        else "[rotor.main]                            # one across, above the body"
    )
    discs = f"discs = {{ {disc} }}   # generic\n" if s.discs else ""
    mirror = "mirror = true\n" if two else ""
    return f'''{head}
kind = "{"drum" if drum else "vaned"}"
{section}drive = {drive}
span = {_mm(s.rotor_span)}                       # generic, the largest that fits the span limit or the wished shape
diameter = {_mm(s.rotor_diameter)}                   # generic, from the mass
{stages}{mirror}position = [{_mm(s.rotor_aft)}, {_mm(side)}, {_mm(s.rotor_up)}]   # generic, mid-span
skin = {{ material = "{s.sheet}", thickness = {_mm(s.skin_thickness)} }}   # generic
{discs}'''


def _drive(s: QuickStartSizes) -> str:
    if s.rotor_kind == "free vaned":
        return ""
    constant = plain_number(round(s.drive_speed_constant / RPM, -1), 4)
    return f'''[drive.belt]                            # one motor and belt for each rotor
each = true                             # generic
motor = {{ speed_constant = "{constant} rpm/V", mass = {_grams(s.drive_motor_mass)} }}   # generic
ratio = {plain_number(s.drive_ratio, 3)}                             # generic: motor turns per rotor turn
speed = "{plain_number(round(s.drive_speed / RPM, -1), 4)} rpm"                      # generic: held at full command
battery = "main"
'''


def _airframe(s: QuickStartSizes) -> str:
    boom = plain_number(round(s.boom_diameter * 1000.0), 3)
    inner = plain_number(round(s.boom_diameter * 1000.0) - 2, 3)
    hub, track = gear(s)
    tail_wheel = max(0.5 * s.wheel_diameter, SMALLEST_WHEEL)
    return f"""[body.fuselage]
length = {_mm(s.body_length)}                     # generic
width = {_mm(s.body_width)}                       # generic
height = {_mm(s.body_height)}                      # generic
position = [{_mm(NOSE_GAP + s.body_length / 2.0)}, "0 mm", "0 mm"]   # generic, its middle
shape = "rounded"                       # generic
material = "light foam board"           # generic

[strut.boom]                            # carries the tail
start = [{_mm(s.body_length)}, "0 mm", "0 mm"]       # generic
end = [{_mm(s.tail_aft + s.tail_chord)}, "0 mm", "0 mm"]         # generic
tube = "carbon {boom}x{inner} mm"               # generic

[surface.tailplane]
span = {_mm(s.tail_span)}                       # generic
chord = {_mm(s.tail_chord)}                      # generic
position = [{_mm(s.tail_aft)}, "0 mm", {_mm(0.6 * s.rotor_diameter)}]   # generic, a quarter chord back
incidence = "{_degrees(s.tail_incidence)}"                      # generic: nose up, along the air behind the rotors
control = {{ name = "elevator", chord_share = 0.35, travel = "25 deg" }}   # generic

[surface.fin]
span = {_mm(s.fin_height)}                       # generic, its height
chord = {_mm(s.fin_chord)}                      # generic
position = [{_mm(s.tail_aft)}, "0 mm", {_mm(s.fin_height / 2.0 + 0.01)}]   # generic
control = {{ name = "rudder", chord_share = 0.4, travel = "25 deg" }}   # generic

[wheel.main]
position = [{_mm(wheels_aft(s))}, {_mm(track)}, {_mm(hub)}]   # generic, hub
diameter = {_mm(s.wheel_diameter)}                    # generic
mirror = true

[wheel.tail]
position = [{_mm(s.tail_aft + 0.5 * s.tail_chord)}, "0 mm", {_mm(tail_wheel_up(s))}]   # generic
diameter = {_mm(tail_wheel)}                    # generic
"""


def _thruster(s: QuickStartSizes) -> str:
    constant = plain_number(round(s.motor_speed_constant / RPM, -1), 4)
    motor = f'motor = {{ speed_constant = "{constant} rpm/V", mass = {_grams(s.motor_mass)} }}   # generic'
    if s.thrust_source == "fan":
        place = f'[{_mm(s.rotor_aft)}, "0 mm", {_mm(s.thrust_line_up)}]'
        return f"""[thruster.fan]
kind = "fan"
diameter = {_mm(s.thruster_diameter)}                    # generic
position = {place}   # generic
{motor}
battery = "main"
"""
    size = propeller_size(s)
    return f'''[thruster.nose]
kind = "propeller"
propeller = "{size}"                       # generic
position = ["0 mm", "0 mm", {_mm(s.thrust_line_up)}]
tilt = "{_degrees(s.thrust_tilt)}"                          # generic: upwards positive, down-thrust negative
{motor}
battery = "main"
'''


def _rest(s: QuickStartSizes) -> str:
    milliamperes = plain_number(max(round(s.battery_capacity / 3.6 / 50.0) * 50.0, 150.0), 5)
    place = s.battery_aft if s.balanced else s.rotor_aft
    text = f'''[battery.main]
cells = "{s.cells}S"
capacity = "{milliamperes} mAh"                   # generic
position = [{_mm(place)}, "0 mm", "0 mm"]   # generic, placed for the balance
'''
    if s.payload > 0.0:
        text += f"""
[item.payload]                          # what it is to carry
mass = {_grams(s.payload)}
position = [{_mm(s.rotor_aft)}, "0 mm", "0 mm"]   # generic
"""
    if s.rest_mass > 1e-5:
        text += f"""
[item.rest]                             # receiver, servos, linkages, mounts, glue, paint: split it up as you build
mass = {_grams(s.rest_mass)}                        # generic: what is left of the mass you asked for
position = [{_mm(s.rotor_aft)}, "0 mm", "0 mm"]   # generic
"""
    return text
