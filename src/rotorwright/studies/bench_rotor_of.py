"""Takes one rotor out of an aeroplane and puts it on the bench: the arguments for `rotor_alone`."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from rotorwright.base.errors import InputError
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import fill
from rotorwright.design.mirrors import twin_name
from rotorwright.flight.numbers import air_record, assemble
from rotorwright.physics.air.atmosphere import air_state


def bench_question(aeroplane: Aeroplane, name: str | None = None) -> dict[str, Any]:
    """Return the arguments with which `rotor_alone` meets a rotor of an aeroplane, in the air of its field.

    Parameters
    ----------
    aeroplane : Aeroplane
    name : str, optional
        Name of the rotor in the file, or of its mirrored twin; needed only if there are several.

    Returns
    -------
    question : dict
        Everything but airspeed and spin.

    Raises
    ------
    InputError
        If there is no such rotor, or if a name is needed.
    """
    rotors = aeroplane.tables.rotor
    if not rotors:
        raise InputError("describes no rotor", place=aeroplane.source)
    if name is None and len(rotors) > 1:
        raise InputError("say which rotor", place="--name", allowed=", ".join(rotors))
    described = {name: name for name in rotors}
    described |= {twin_name(name): name for name, rotor in rotors.items() if rotor.mirror}
    asked = name or next(iter(rotors))
    if asked not in described:
        near = get_close_matches(asked, described, n=1, cutoff=0.4)
        hint = f'Did you mean "{near[0]}"?' if near else ""
        raise InputError(
            "is not a rotor of this file", place="--name", found=f'"{asked}"', allowed=", ".join(described), hint=hint
        )
    chosen = described[asked]
    rotor, site = rotors[chosen], aeroplane.field
    density, viscosity = air_state(site.elevation, site.temperature, site.humidity, site.pressure or 0.0)
    rows = fill(aeroplane)
    numbers = assemble(rows, air_record(density, viscosity, 9.80665, (0.0, 0.0, 0.0)))
    row = rows.rotors[rows.names.rotors.index(chosen)]
    question: dict[str, Any] = {
        "kind": rotor.kind,
        "diameter": rotor.diameter,
        "span": rotor.span,
        "surface": rotor.surface,
        "flow": site.air,
        "inner_end": "sealed" if rotor.inner_end == "closed" else "open",
        "bearing_torque": float(row["bearing_torque"]),
        "bearing_drag": float(row["bearing_drag"]),
        "polar_inertia": float(numbers.rotors["polar_inertia"][0, rows.names.rotors.index(chosen)]),
        "air_density": density,
        "air_viscosity": viscosity,
    }
    if rotor.kind == "vaned":
        question |= {"section": rotor.section, "buckets": rotor.buckets, "overlap": rotor.overlap}
        question |= {"stages": rotor.stages, "stage_phase": rotor.stage_phase}
    if rotor.discs is not None and rotor.discs.diameter > rotor.diameter:
        question |= {
            "disc_diameter": rotor.discs.diameter,
            "discs_turn": rotor.discs.turn,
            "disc_count": rotor.discs.count,
        }
        question |= {"disc_thickness": float(row["disc_thickness"])}
    return question
