"""Level flight of a drum aeroplane worked by hand: plain arithmetic, no kernel of the package.

Laws and figures are copied here from ``docs/physics`` (tables read by straight lines), so that a slip in the compiled
code and a slip in this file would have to be the same slip to go unseen. Geometry comes from the aircraft file; mass,
balance point and air density are those the mass and air rooms are checked for elsewhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np

# section lift and profile drag of a drum over spin ratio (docs/physics/rotor-drums.md), the part of the tables needed
QUIET_LIFT = (
    (0.5, 0.37),
    (0.6, 0.39),
    (0.7, 0.44),
    (0.8, 0.55),
    (0.9, 0.72),
    (1.0, 0.95),
    (1.2, 1.46),
    (1.5, 2.36),
    (1.8, 3.28),
    (2.0, 4.0),
    (2.5, 5.9),
    (3.0, 7.7),
)
TURBULENT_LIFT = ((0.25, 0.68), (0.5, 1.41), (1.0, 2.98), (1.5, 4.6), (2.0, 5.95), (2.5, 7.05), (3.0, 8.05))
QUIET_DRAG = ((0.5, 0.92), (0.75, 0.72), (1.0, 0.66), (1.25, 0.52), (1.5, 0.38), (2.0, 0.16), (2.5, 0.12), (3.0, 0.10))
# thrust and power over their static values, at J/J0 0, 0.1 … 1, pitch ratio 0.50 and 0.625 (power-propeller.md)
THRUST_50 = (1.0, 0.949, 0.902, 0.830, 0.737, 0.629, 0.512, 0.395, 0.272, 0.136, 0.0)
THRUST_62 = (1.0, 0.952, 0.916, 0.851, 0.763, 0.666, 0.550, 0.423, 0.289, 0.150, 0.0)
POWER_50 = (1.0, 1.026, 1.025, 1.026, 0.996, 0.946, 0.858, 0.746, 0.620, 0.458, 0.29)
POWER_62 = (1.0, 1.021, 1.030, 1.037, 1.027, 0.983, 0.906, 0.787, 0.641, 0.472, 0.31)
REST_AT_70 = 3.95  # cell rest voltage at 70 % charge (power-battery.md)
# medians of the Unknowns that are not 1 (docs/unknowns.md)
TAIL_FACTOR, CONTROL_FACTOR, SKIN_FACTOR, SLOW_LIFT_FACTOR = 0.9, 0.75, 1.6, 1.1
MOTOR_RESISTANCE_FACTOR, SPEED_CONSTANT_FACTOR, DUTY_BULGE, CONTROLLER_EFFICIENCY = 2.2, 0.99, 0.01, 0.98
END_CAP, DISC_GAIN, TURNING_EFFICIENCY, PLAIN_EFFICIENCY = 0.91, 1.3, 1.20, 0.60


@dataclass
class Sheet:
    """The lines of the calculation as they go on paper."""

    lines: list[str] = field(default_factory=list)
    values: dict[str, float] = field(default_factory=dict)

    def head(self, text: str, note: str = "") -> None:
        """Start a section."""
        self.lines += ["", f"## {text}", ""]
        if note:
            self.lines += [note, ""]
        self.lines += ["| step | formula | value |", "|---|---|---|"]

    def put(self, name: str, formula: str, value: float, unit: str = "") -> float:
        """Write a line and return its value."""
        self.values[name] = value
        self.lines.append(f"| {name} | {formula} | {value:.4g} {unit} |".replace("  |", " |"))
        return value


class Blank(Sheet):
    """A sheet nothing is written on, for the passes before the last."""

    def head(self, text: str, note: str = "") -> None:
        """Ignore the heading."""

    def put(self, name: str, formula: str, value: float, unit: str = "") -> float:
        """Hand the value through."""
        return value


def read(table: tuple[tuple[float, float], ...], x: float) -> float:
    """Return the value at ``x`` by a straight line between printed points."""
    xs, ys = zip(*table, strict=True)
    return float(np.interp(x, xs, ys))


def ramp(x: float, start: float, end: float) -> float:
    """Return 3t² − 2t³ between ``start`` and ``end``."""
    t = min(max((x - start) / (end - start), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


def covered(radius: float, y: float, z: float, span: float, height: float) -> float:
    """Return the share of a rectangle inside a circle, by 2000 strips."""
    ys = y + span * ((np.arange(2000) + 0.5) / 2000.0 - 0.5)
    half = np.sqrt(np.maximum(radius**2 - ys**2, 0.0))
    top, bottom = np.minimum(half, z + 0.5 * height), np.maximum(-half, z - 0.5 * height)
    return float(np.mean(np.maximum(top - bottom, 0.0)) / height)


@dataclass(frozen=True)
class Given:
    """What the calculation starts from."""

    rows: Any  # part rows of the aeroplane (design room)
    mass: float
    x: float
    z: float
    density: float
    viscosity: float
    gravity: float
    rotor_speed: float
    elevator: float


def wash(g: Given, part: Any, thrust: float, airspeed: float, wide: float, tall: float) -> tuple[float, float, float]:
    """Return share covered, speed added and radius of the propeller's wash at a part."""
    propeller = g.rows.thrusters[0]
    radius = 0.5 * propeller["diameter"]
    area = math.pi * radius**2
    induced = 0.5 * (math.sqrt(airspeed**2 + 2.0 * thrust / (g.density * area)) - airspeed)
    aft = propeller["x"] - part["x"]
    growth = 1.0 + aft / math.hypot(aft, radius)
    narrow = radius * math.sqrt((airspeed + induced) / (airspeed + growth * induced))
    cover = covered(narrow, propeller["y"] - part["y"], propeller["z"] - part["z"], wide, max(tall, 0.01 * wide))
    return cover, induced * growth, narrow


def drum(g: Given, s: Sheet, label: str, airspeed: float) -> tuple[float, float, float]:
    """Return lift, drag [N] and torque [N m] of one drum wholly in a stream of this speed."""
    rotor = g.rows.rotors[0]
    span, diameter, disc = float(rotor["span"]), float(rotor["diameter"]), float(rotor["disc_diameter"])
    viscosity = g.viscosity / g.density
    aspect, ratio = span / diameter, disc / diameter
    spin = s.put(f"spin ratio λ, {label}", "Ω D/(2 V)", g.rotor_speed * diameter / (2.0 * airspeed))
    reynolds = s.put(f"Reynolds number, {label}", "V D/ν", airspeed * diameter / viscosity)
    weight = ramp(math.log(reynolds), math.log(1.47e5) - 0.896, math.log(1.47e5) + 0.896)
    s.put(f"weight w of the turbulent family, {label}", "3t² − 2t³, t = (ln Re − ln 1.47e5 + 0.896)/1.792", weight)
    fade = 1.0 + (SLOW_LIFT_FACTOR - 1.0) * (1.0 - ramp(spin, 1.0, 2.0))
    quiet = s.put(
        f"quiet section lift, {label}", "table × (1 + 0.1 fade), fade 1 … 0 for λ 1 … 2", read(QUIET_LIFT, spin) * fade
    )
    fast = s.put(f"turbulent section lift, {label}", "table", read(TURBULENT_LIFT, spin))
    section = s.put(f"section lift, {label}", "(1 − w) quiet + w turbulent", quiet + (fast - quiet) * weight)
    plateau = END_CAP * aspect * (1.0 + 1.5 * (1.0 - math.exp(-DISC_GAIN * (ratio - 1.0))))
    s.put(f"plateau, {label}", "0.91 A (1 + 1.5 (1 − exp(−1.3 (disc ratio − 1))))", plateau)
    lift_coefficient = section / (1.0 + (section / plateau) ** 4) ** 0.25
    s.put(f"C_L, {label}", "c/(1 + (c/plateau)⁴)^¼", lift_coefficient)
    effective = aspect * (PLAIN_EFFICIENCY + (TURNING_EFFICIENCY - PLAIN_EFFICIENCY) * min(ratio - 1.0, 1.0))
    end = s.put(f"C_D of the ends, {label}", "C_L²/(π A_e), A_e = 1.2 A", lift_coefficient**2 / (math.pi * effective))
    profile = read(QUIET_DRAG, spin)
    profile += (0.06 + 0.36 / (1.0 + (spin / 1.3) ** 4) - profile) * weight
    s.put(f"C_D of the profile, {label}", "(1 − w) table + w (0.06 + 0.36/(1 + (λ/1.3)⁴))", profile)
    pressure = 0.5 * g.density * airspeed**2 * span * diameter
    s.put(f"q S, {label}", "½ρV² span × diameter", pressure, "N")
    radius = 0.5 * disc
    count = float(rotor["end_discs"] + rotor["middle_discs"])
    rub = math.hypot(airspeed, g.rotor_speed * radius)
    friction = 0.074 * (2.0 * rub * radius / viscosity + 1.0e4) ** -0.2
    discs = 0.5 * g.density * (friction * 2.0 * math.pi * radius**2 * airspeed * rub)
    discs = count * (discs + 0.5 * g.density * airspeed**2 * 0.6 * float(rotor["disc_thickness"]) * disc)
    s.put(f"drag of the discs, {label}", "n (½ρ C_f 2πa² V √(V² + Ω²a²) + 0.6 q t 2a)", discs, "N")
    torque = skin_torque(g) + disc_torque(g, airspeed)
    s.put(f"torque of the air, {label}", "skin + discs", -torque, "N m")
    return pressure * lift_coefficient, pressure * (end + profile) + discs, -torque


def skin_torque(g: Given) -> float:
    """Return what the skin of one drum takes from its shaft [N m]."""
    rotor = g.rows.rotors[0]
    radius = 0.5 * float(rotor["diameter"])
    reynolds = g.rotor_speed * radius**2 * g.density / g.viscosity
    root = 10.0
    for _ in range(50):  # 1/√C_f = −0.6 + 4.07 log10(Re √C_f)
        root = -0.6 + 4.07 * math.log10(reynolds / root)
    friction = SKIN_FACTOR / root**2
    return math.pi * g.density * friction * g.rotor_speed**2 * radius**4 * float(rotor["span"])


def disc_torque(g: Given, airspeed: float) -> float:
    """Return the windage of all discs of one drum [N m]."""
    rotor = g.rows.rotors[0]
    radius = 0.5 * float(rotor["disc_diameter"])
    turning = math.sqrt(g.rotor_speed**2 + 1.875 * (airspeed / radius) ** 2)
    reynolds = turning * radius**2 * g.density / g.viscosity
    moment = 3.87 / math.sqrt(reynolds)
    moment += (0.146 * reynolds**-0.2 - moment) * ramp(reynolds, 2.0e5, 3.0e5)
    full = 0.5 * g.density * g.rotor_speed * turning * radius**5 * moment
    inside = float(rotor["diameter"] / rotor["disc_diameter"])
    spun = g.rotor_speed * radius**2 * g.density / g.viscosity
    hub = inside**4 * (1.0 + (inside**0.6 - 1.0) * ramp(spun, 2.0e5, 3.0e5))
    return full * (0.5 * float(rotor["end_discs"]) * (2.0 - hub) + float(rotor["middle_discs"]) * (1.0 - hub))


def tail(g: Given, s: Sheet, surface: Any, u: float, w: float, angle: float) -> tuple[float, float, float]:
    """Return force along x and z [N] and the moment of the elevator [N m] of a flat tail."""
    aspect = float(surface["span"] ** 2 / surface["area"])
    slope = s.put(
        "lift slope a",
        "2πA/(2 + √(4 + (A/0.9)²))",
        2.0 * math.pi * aspect / (2.0 + math.sqrt(4.0 + (aspect / 0.9) ** 2)),
        "1/rad",
    )
    w -= angle * u
    incidence = s.put("incidence of the tail", "atan(w/u) − ε", math.atan2(w, u), "rad")
    deflection = g.elevator * float(surface["control_travel"])
    hinge = math.acos(2.0 * float(surface["control_share"]) - 1.0)
    turned = CONTROL_FACTOR * 0.6 * math.tanh(deflection / 0.6)
    working = incidence + float(surface["incidence"]) + turned * (1.0 - (hinge - math.sin(hinge)) / math.pi)
    limit = 0.9 * float(surface["max_lift"])
    ratio = slope * working / limit
    lift = s.put("C_L of the tail", "a α, rounded at 0.9 C_Lmax", limit * ratio / (1.0 + ratio**8) ** 0.125)
    speed = math.hypot(u, w)
    reynolds = speed * float(surface["chord"]) * g.density / g.viscosity
    drag = float(surface["section_drag"]) * (1.05e5 / (reynolds + 5.0e3)) ** 0.4
    drag = s.put("C_D of the tail", "0.02 (Re/1e5)^−0.4 + C_L²/(0.85 π A)", drag + lift**2 / (math.pi * 0.85 * aspect))
    half = 0.5 * g.density * float(surface["area"]) * TAIL_FACTOR
    moment = -0.5 * math.sin(hinge) * (1.0 - math.cos(hinge)) * turned
    return (
        s.put("F_x of the tail", "0.9 q S (C_L sin α − C_D cos α)", half * speed * (lift * w - drag * u), "N"),
        s.put("F_z of the tail", "−0.9 q S (C_L cos α + C_D sin α)", -half * speed * (lift * u + drag * w), "N"),
        half * speed**2 * float(surface["chord"]) * moment,
    )


def downwash(g: Given, s: Sheet, surface: Any, lift: float, pressure: float) -> float:
    """Return the downwash angle of the pair of drums at the tail [rad]."""
    rotors = g.rows.rotors
    span = float(rotors["span"].sum())
    wide = s.put("effective span of the pair b_e", "span of both × √1.2", span * math.sqrt(TURNING_EFFICIENCY), "m")
    far = s.put("far downwash", "2 L/(q π b_e²)", 2.0 * lift / (pressure * math.pi * wide**2), "rad")
    cap = math.radians(35.0)
    aft = float(rotors["x"][0] - surface["x"])
    held = far / (1.0 + (far / cap) ** 4) ** 0.25
    height = s.put(
        "height h over the wake", "offset + ¼ ε x", float(rotors["z"][0] - surface["z"]) + 0.25 * held * aft, "m"
    )
    gap = math.pi * wide / 8.0
    reach = math.sqrt(aft**2 + gap**2 + height**2)
    growth = 0.5 * (1.0 + aft / reach) * gap**2 / (gap**2 + height**2)
    growth += 0.5 * gap**2 * aft / ((aft**2 + height**2 + (0.2 * wide) ** 2) * reach)
    s.put("share of it at the tail", "½(1 + x/r) s²/(s² + h²) + ½ s² x/((x² + h² + 0.04 b_e²) r), s = π b_e/8", growth)
    far *= growth
    return s.put(
        "downwash ε at the tail", "far × share, levelling off at 35°", far / (1.0 + (far / cap) ** 4) ** 0.25, "rad"
    )


def balance(g: Given, s: Sheet, airspeed: float, incidence: float, thrust: float) -> tuple[float, float, float]:
    """Return what is missing along x, along z [N] and in pitch [N m] of level flight."""
    weight = g.mass * g.gravity
    u, w = airspeed * math.cos(incidence), airspeed * math.sin(incidence)
    pressure = 0.5 * g.density * airspeed**2
    s.head("The air", "From the last pass: V, α and T below make the three sums of the end vanish.")
    s.put("airspeed V", "found", airspeed, "m/s")
    s.put("incidence α", "found", incidence, "rad")
    s.put("thrust T", "found", thrust, "N")
    s.put("dynamic pressure q", "½ρV²", pressure, "Pa")
    s.put("u, forward", "V cos α", u, "m/s")
    s.put("w, down", "V sin α", w, "m/s")

    s.head(
        "Propeller wash over a drum",
        "Momentum theory (docs/physics/airframe.md): a wash that grows faster and narrower aft.",
    )
    rotor = g.rows.rotors[0]
    share, extra, radius = wash(g, rotor, thrust, airspeed, float(rotor["span"]), float(rotor["diameter"]))
    s.put("speed added at the drum", "v (1 + x/√(x² + R²)), v = ½(√(V² + 2T/ρA) − V)", extra, "m/s")
    s.put("radius there", "R √((V + v)/(V + added))", radius, "m")
    s.put("share of the drum covered", "circle and rectangle, by strips", share)

    s.head("One drum", "Laws and tables: docs/physics/rotor-drums.md. Once outside the wash, once inside it.")
    outside = (u, w, 1.0 - share, drum(g, s, "outside", math.hypot(u, w)))
    within = (u + extra, w, share, drum(g, s, "inside", math.hypot(u + extra, w)))
    lift, force_x, force_z, torque = 0.0, 0.0, 0.0, 0.0
    for along, down, part, (up, back, turn) in (outside, within):
        speed = math.hypot(along, down)
        lift += part * up
        force_x += part * (up * down - back * along) / speed
        force_z -= part * (up * along + back * down) / speed
        torque += part * turn
    s.head("Both drums", "Lift square to each part's own wind, drag along it; weighted with the shares.")
    s.put("lift of both", "2 Σ share × q S C_L", 2.0 * lift, "N")
    force_x = s.put("F_x of both", "2 Σ share × (L sin α − D cos α)", 2.0 * force_x, "N")
    force_z = s.put("F_z of both", "−2 Σ share × (L cos α + D sin α)", 2.0 * force_z, "N")
    torque = s.put(
        "torque of the air on both", "2 Σ share × Q: the belts hand it to the airframe, nose down", 2.0 * torque, "N m"
    )
    arm_x, arm_z = float(rotor["x"]) - g.x, float(rotor["z"]) - g.z
    moment = s.put(
        "pitching moment of the drums",
        "z F_x − x F_z + Q about the CG",
        arm_z * force_x - arm_x * force_z + torque,
        "N m",
    )

    s.head("Tail", "docs/physics/airframe.md; 0.9 is the tail factor.")
    surface = g.rows.surfaces[0]
    angle = downwash(g, s, surface, 2.0 * lift, pressure)
    cover, extra, _ = wash(g, surface, thrust, airspeed, float(surface["span"]), 0.5 * float(surface["chord"]))
    s.put("wash over the tail", "share × speed added", cover * extra, "m/s")
    tail_x, tail_z, hinge = tail(g, s, surface, u + cover * extra, w, angle)
    arm_x, arm_z = float(surface["x"]) - g.x, float(surface["z"]) - g.z
    moment += s.put(
        "pitching moment of the tail", "z F_x − x F_z (+ elevator)", arm_z * tail_x - arm_x * tail_z + hinge, "N m"
    )

    s.head("Fin, body, struts, wheels", "Drag areas as `check` fills them in; each in its own share of the wash.")
    rest_x, rest_z, rest_m = 0.0, 0.0, 0.0
    for row in g.rows.surfaces[1:]:
        cover, extra, _ = wash(g, row, thrust, airspeed, 0.5 * float(row["chord"]), float(row["span"]))
        speed = u + cover * extra
        reynolds = speed * float(row["chord"]) * g.density / g.viscosity
        drag = float(row["section_drag"]) * (1.05e5 / (reynolds + 5.0e3)) ** 0.4
        push = -0.5 * g.density * speed**2 * TAIL_FACTOR * float(row["area"]) * drag
        rest_x += push
        rest_m += (float(row["z"]) - g.z) * push
    s.put("F_x of the fin", "−0.9 q S C_D", rest_x, "N")
    for row in g.rows.bodies:
        cover, extra, _ = wash(g, row, thrust, airspeed, float(row["width"]), float(row["height"]))
        speed = u + cover * extra
        push, lower = -0.5 * g.density * row["drag_area"] * speed**2, -0.5 * g.density * row["top_area"] * w * abs(w)
        thick = math.sqrt(row["width"] * row["height"])
        fine = row["length"] / thick
        munk = (
            0.6
            * row["length"]
            * row["width"]
            * row["height"]
            * max((fine**2 - 1.0) / (fine**2 + 0.6 * fine + 0.9), 0.0)
        )
        rest_x, rest_z = rest_x + push, rest_z + lower
        rest_m += (row["z"] - g.z) * push - (row["x"] - g.x) * lower + g.density * munk * speed * w
    s.put("F_x of all of them", "Σ −½ρ C_D A u² (u with wash)", rest_x, "N")
    s.put("F_z of all of them", "Σ −½ρ A_top w²", rest_z, "N")
    moment += s.put("their pitching moment", "Σ z F_x − x F_z + ρ k 𝒱 u w", rest_m, "N m")

    s.head("Sums", "Level and straight: the weight has the parts −W sin α along x and W cos α along z.")
    propeller = g.rows.thrusters[0]
    moment += s.put(
        "pitching moment of the thrust",
        "T × height of the CG over the thrust line",
        thrust * (float(propeller["z"]) - g.z),
        "N m",
    )
    along = s.put(
        "along x", "T + ΣF_x − W sin α", thrust + force_x + tail_x + rest_x - weight * math.sin(incidence), "N"
    )
    across = s.put("along z", "ΣF_z + W cos α", force_z + tail_z + rest_z + weight * math.cos(incidence), "N")
    moment = s.put("pitching moment", "Σ", moment, "N m")
    s.values["drum_torque"] = -0.5 * torque
    return along, across, moment


def solve(
    g: Given, airspeed: float = 8.0, incidence: float = 0.1, thrust: float = 8.0
) -> list[tuple[float, float, float]]:
    """Return the passes: V, α, T from a rough start, corrected by three straight lines each time."""
    unknown = np.array([airspeed, incidence, thrust])
    passes = [tuple(float(number) for number in unknown)]
    for _ in range(25):
        missing = np.array(balance(g, Blank(), *unknown))
        columns = []
        for k, step in enumerate((1e-4, 1e-5, 1e-4)):
            moved = unknown.copy()
            moved[k] += step
            columns.append((np.array(balance(g, Blank(), *moved)) - missing) / step)
        change = np.linalg.solve(np.array(columns).T, -missing)
        change *= min(1.0, 1.0 / max(abs(change) / np.array([1.0, 0.05, 2.0])))
        unknown = unknown + change
        passes.append(tuple(float(number) for number in unknown))
        if np.abs(change).max() < 1e-9:
            break
    return passes  # type: ignore[return-value]


def power(g: Given, s: Sheet, airspeed: float, incidence: float, thrust: float, drum_torque: float) -> dict[str, float]:
    """Return throttle, drive duty, pack current and power of that flight."""
    row, pack = g.rows.thrusters[0], g.rows.batteries[0]
    diameter, ratio = float(row["diameter"]), float(row["pitch"] / row["diameter"])
    viscosity = g.viscosity / g.density
    s.head(
        "Propeller",
        "Family *narrow*: docs/physics/power-propeller.md; n is found by trial so that the thrust comes out.",
    )
    flow = airspeed * math.cos(incidence)
    last = s.put("J_0", "0.173 + 0.967 × pitch ratio", 0.173 + 0.967 * ratio)
    blend = ramp(ratio, 0.50, 0.625)
    grid = np.linspace(0.0, 1.0, 11)
    low, high = 10.0, 400.0
    for _ in range(80):
        turns = 0.5 * (low + high)
        y = min(flow / (turns * diameter * last), 1.0)
        size = math.sqrt((0.75 * math.pi * turns * diameter) ** 2 + flow**2 + 4.0) / 59.847
        size *= diameter / 0.254 * 1.4604e-5 / viscosity
        shape = (1.0 - blend) * np.interp(y, grid, THRUST_50) + blend * np.interp(y, grid, THRUST_62)
        pull = (0.0615 + 0.0689 * ratio) * size**0.12 * float(shape)
        low, high = (low, turns) if g.density * turns**2 * diameter**4 * pull > thrust else (turns, high)
    s.put("turns n", "by trial", turns, "1/s")
    s.put("J/J_0", "V cos α/(n D J_0)", y)
    s.put("C_T", "(0.0615 + 0.0689 p) (Re ratio)^0.12 × table", pull)
    shape = (1.0 - blend) * np.interp(y, grid, POWER_50) + blend * np.interp(y, grid, POWER_62)
    load = s.put(
        "C_P", "(−0.0200 + 0.1093 p) (Re ratio)^−0.04 × table", (-0.0200 + 0.1093 * ratio) * size**-0.04 * float(shape)
    )
    torque = s.put("shaft torque", "ρ n² D⁵ C_P/2π", g.density * turns**2 * diameter**5 * load / (2.0 * math.pi), "N m")

    s.head(
        "Motors", "docs/physics/power-motor.md: K 1 % below the label, resistance 2.2 times the label plus controller."
    )
    current, volts = motor(row, torque, 2.0 * math.pi * turns)
    s.put("propeller motor current", "Q K + I_0 (0.4 + 0.6 Ω/Ω_0)", current, "A")
    s.put("its voltage", "Ω/K + i R", volts, "V")
    drive, rotor = g.rows.drives[0], g.rows.rotors[0]
    friction = float(rotor["bearing_torque"] + rotor["bearing_drag"] * g.rotor_speed)
    shaft = s.put(
        "drive torque of one drum",
        "air + bearings + idle belt",
        drum_torque + friction + float(drive["idle_torque"]),
        "N m",
    )
    belt = shaft / float(drive["ratio"] * drive["efficiency"])
    drum_current, drum_volts = motor(drive, belt, g.rotor_speed * float(drive["ratio"]))
    s.put("drum motor current", "Q/(ratio × 0.96) K + I_0 (…)", drum_current, "A")
    s.put("its voltage", "Ω ratio/K + i R", drum_volts, "V")

    s.head("Pack", "docs/physics/power-battery.md; 70 % charge.")
    rest = s.put("rest voltage", "cells × 3.95 V", float(pack["cells"]) * REST_AT_70, "V")
    cell = float(pack["resistance_capacity"]) / (float(pack["capacity"]) / 3600.0)
    cell *= math.exp(3131.0 * (1.0 / float(pack["temperature"]) - 1.0 / 298.0)) * (1.0 + 2.098 * math.exp(-24.37 * 0.7))
    inner = s.put(
        "resistance", "cells × cell + leads", float(pack["cells"]) * cell + float(pack["wiring_resistance"]), "Ω"
    )
    wanted = (current * volts + 2.0 * drum_current * drum_volts) / CONTROLLER_EFFICIENCY + float(pack["steady_power"])
    s.put("power at the terminals", "(i v + 2 i v)/0.98 + electronics", wanted, "W")
    bus = s.put(
        "voltage under load", "½(E + √(E² − 4 R P))", 0.5 * (rest + math.sqrt(rest**2 - 4.0 * inner * wanted)), "V"
    )
    duty = volts / bus
    bulge = 4.0 * DUTY_BULGE
    throttle = ((1.0 + bulge) - math.sqrt((1.0 + bulge) ** 2 - 4.0 * bulge * duty)) / (2.0 * bulge)
    s.put("throttle", "duty = v/V_bus = t + 0.04 t (1 − t)", throttle)
    s.put("duty of a drum drive", "v/V_bus", drum_volts / bus)
    s.put("current", "P/V_bus", wanted / bus, "A")
    return {
        "level_throttle": throttle,
        "drive_duty": drum_volts / bus,
        "level_power": wanted,
        "level_current": wanted / bus,
    }


def motor(row: Any, torque: float, speed: float) -> tuple[float, float]:
    """Return winding current [A] and voltage [V] for a torque at a speed."""
    constant = SPEED_CONSTANT_FACTOR * float(row["motor_speed_constant"])
    resistance = MOTOR_RESISTANCE_FACTOR * float(row["motor_resistance"]) + float(row["controller_resistance"])
    idle = float(row["motor_no_load_current"])
    current = torque * constant + idle * (0.4 + 0.6 * speed / (constant * float(row["motor_no_load_voltage"])))
    return current, speed / constant + current * resistance


def work_out(g: Given) -> tuple[Sheet, dict[str, float], list[tuple[float, float, float]]]:
    """Return the sheet of the last pass, the answers by the names a balance uses, and the passes."""
    passes = solve(g)
    airspeed, incidence, thrust = passes[-1]
    sheet = Sheet()
    balance(g, sheet, airspeed, incidence, thrust)
    answers = {"level_speed": airspeed, "level_incidence": incidence, "level_thrust": thrust}
    answers["spin_ratio_outside"] = sheet.values["spin ratio λ, outside"]
    answers |= power(g, sheet, airspeed, incidence, thrust, sheet.values["drum_torque"])
    return sheet, answers, passes
