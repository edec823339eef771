"""Completes rotors, surfaces, bodies, struts and wheels: every number a later step needs, and a note of each guess."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.design.catalogue.reader import bearing_for, bearing_friction, rule, rule_row
from rotorwright.design.filled_in import Notes, known, note_guesses
from rotorwright.design.parts.airframe import Body, Strut, Surface, Wheel
from rotorwright.design.parts.rotor import Discs, Rotor, Shaft, Skin
from rotorwright.design.stages import even_stage_phase
from rotorwright.design.units import Tube

# Tube by span of the rotor: longer rotors need stiffer tubes [m: outer, inner] (judgement, common stock sizes).
_TUBES = ((0.35, 0.005, 0.003), (0.55, 0.006, 0.004), (0.9, 0.008, 0.006), (1.3, 0.010, 0.008), (1.8, 0.014, 0.012),
          (2.6, 0.020, 0.018), (math.inf, 0.030, 0.028))  # fmt: skip

_SURFACE_WORDS = (("fin", "fin"), ("rudder", "fin"), ("canard", "canard"), ("tail", "tailplane"), ("stab", "tailplane"),
                  ("elevator", "tailplane"), ("wing", "wing"))  # fmt: skip


def surface_kind(name: str) -> str | None:
    """Return the kind of surface that a part's name tells, or None."""
    word = name.casefold()
    return next((kind for part, kind in _SURFACE_WORDS if part in word), None)


def complete_rotor(path: str, rotor: Rotor, notes: Notes) -> Rotor:
    """Return the rotor with section, phase, discs, skin, shaft and friction all told."""
    update: dict[str, Any] = {}
    section = rotor.section
    if rotor.kind == "vaned" and section is None:
        section = "s-section"
        update["section"] = notes.text(f"{path}.section", section, "the common section of self-turning rotors")
    if rotor.stages > 1 and rotor.stage_phase is None:
        phase = even_stage_phase(str(section), rotor.buckets, rotor.stages)
        update["stage_phase"] = notes.number(
            f"{path}.stage_phase", phase, "angle", "stages spread evenly over one repeat of the section", "geometry"
        )
    if rotor.discs is not None:
        update["discs"] = _complete_discs(f"{path}.discs", rotor.discs, notes)
    update["skin"] = _complete_skin(f"{path}.skin", rotor, notes)
    shaft = _complete_shaft(f"{path}.shaft", rotor, notes)
    update["shaft"] = shaft
    friction = bearing_friction(str(shaft.bearings), shaft.seals)
    if rotor.bearing_torque is None:
        torque = friction.torque * shaft.bearing_count
        why = f"{shaft.bearing_count} {shaft.seals} bearings of size {shaft.bearings}; measure it by coasting down"
        update["bearing_torque"] = notes.number(f"{path}.bearing_torque", torque, "torque", why, friction.source)
    if rotor.bearing_drag is None:
        drag = friction.drag * shaft.bearing_count if rotor.bearing_torque is None else 0.0
        update["bearing_drag"] = drag
        if drag:
            why = "grows with the spin; measure it by coasting down"
            notes.number(f"{path}.bearing_drag", drag, "torque per speed", why, friction.source)
    return rotor.model_copy(update=update)


def _complete_discs(path: str, discs: Discs, notes: Notes) -> Discs:
    update: dict[str, Any] = {}
    name = discs.material
    if name is None:
        name = update["material"] = notes.text(f"{path}.material", "foam sheet", "light discs")
    if discs.thickness is None:
        generic = rule("structure", "disc_thickness")
        sheet = notes.material(name).thickness or generic.value
        update["thickness"] = notes.number(
            f"{path}.thickness", sheet, "length", "sheet of that material", generic.source
        )
    return discs.model_copy(update=update) if update else discs


def _complete_skin(path: str, rotor: Rotor, notes: Notes) -> Skin:
    skin = rotor.skin
    update: dict[str, Any] = {}
    if skin.material is None and skin.areal_mass is None:
        update["material"] = notes.text(f"{path}.material", "foam sheet", "light skin or vanes")
    material = notes.material(update.get("material") or skin.material or "foam sheet")
    thickness = skin.thickness
    if thickness is None:
        size = "skin_thickness_small" if rotor.diameter <= 0.2 else "skin_thickness_large"
        generic = rule("structure", size)
        sheet = material.thickness if skin.material is not None and material.thickness else generic.value
        thickness = notes.number(f"{path}.thickness", sheet, "length", "sheet for this diameter", generic.source)
        update["thickness"] = thickness
    if skin.areal_mass is None:
        update["areal_mass"] = material.areal(thickness)
    return skin.model_copy(update=update)


def _complete_shaft(path: str, rotor: Rotor, notes: Notes) -> Shaft:
    shaft = rotor.shaft
    update: dict[str, Any] = {}
    tube = shaft.tube
    if tube is None:
        outer, inner = next((row[1], row[2]) for row in _TUBES if rotor.span <= row[0])
        if outer >= rotor.diameter:
            outer, inner = 0.3 * rotor.diameter, 0.2 * rotor.diameter
        tube = update["tube"] = Tube(outer, inner, "carbon")
        shown = f"carbon {outer * 1000:.3g}x{inner * 1000:.3g} mm"
        notes.text(
            f"{path}.tube",
            shown,
            "stock tube for this span; check it for bending and for its critical speed",
            "judgement",
        )
    if shaft.material is None:
        update["material"] = tube.words or "carbon"
    if shaft.length is None:
        over = rule("structure", "shaft_overhang")
        length = rotor.span + over.value
        update["length"] = notes.number(f"{path}.length", length, "length", "span and room for bearings", over.source)
    if shaft.bearings is None:
        row = bearing_for(tube.outer)
        update["bearings"] = notes.text(
            f"{path}.bearings", row.size, "smallest size that takes this tube", "ISO 15 sizes"
        )
    whole = known(update.get("length", shaft.length))
    if shaft.bearing_positions is None:
        update["bearing_positions"] = bearing_places(rotor.span, whole, shaft.bearing_count)
        shown = ", ".join(f"{1000.0 * place:.4g}" for place in update["bearing_positions"])
        notes.text(f"{path}.bearing_positions", f"{shown} mm", "in the middle of what the tube stands out by")
    else:
        update["bearing_count"] = len(shaft.bearing_positions)
    if shaft.mount_stiffness is None:
        if shaft.mount is None:
            update["mount"] = notes.text(f"{path}.mount", "bracket", "the softest usual way; measure it: it decides")
        word = update.get("mount", shaft.mount)
        spring = rule("mount", word)
        update["mount_stiffness"] = notes.number(
            f"{path}.mount_stiffness", spring.value, "force per length", f'a mount called "{word}"', spring.source
        )
    if shaft.mount_stiffness_fore is None:
        update["mount_stiffness_fore"] = update.get("mount_stiffness", shaft.mount_stiffness)
    done = shaft.model_copy(update=update)
    note_guesses(path, shaft, notes)
    return done


def bearing_places(span: float, length: float, count: int) -> tuple[float, ...]:
    """Return where bearings sit unless told: the outer two midway on the ends that stand out, the rest even between."""
    outer = 0.5 * span + 0.25 * max(length - span, 0.0)
    outer = min(outer, 0.5 * length)
    if count == 1:
        return (0.0,)
    return tuple(-outer + 2.0 * outer * number / (count - 1) for number in range(count))


def complete_surface(path: str, name: str, surface: Surface, notes: Notes) -> Surface:
    """Return the surface with kind, chord, area, section numbers and mass all told."""
    update: dict[str, Any] = {"kind": surface.kind or surface_kind(name)}
    if surface.chord is None:
        update["chord"] = known(surface.area) / surface.span
    if surface.area is None:
        update["area"] = known(surface.chord) * surface.span
    (max_lift, drag, zero_lift), source = rule_row("section", surface.section)
    for field, value, dimension in (
        ("max_lift", max_lift, "number"),
        ("section_drag", drag, "number"),
        ("zero_lift_angle", zero_lift, "angle"),
    ):
        if getattr(surface, field) is None:
            update[field] = value
            if value:
                notes.number(f"{path}.{field}", value, dimension, f"a {surface.section} section of this size", source)
    note_guesses(path, surface, notes)
    if surface.control is not None:
        note_guesses(f"{path}.control", surface.control, notes)
    if surface.mass is None:
        update.update(_sheet(path, surface.material, surface.thickness, surface.areal_mass, "light foam board", notes))
    return surface.model_copy(update=update)


def _sheet(
    path: str, material: str | None, thickness: float | None, areal_mass: float | None, generic: str, notes: Notes
) -> dict[str, Any]:
    """Return material, thickness and areal mass of a part made of sheet, filled in where not told."""
    name = material
    if name is None and areal_mass is None:
        name = notes.text(f"{path}.material", generic, "no material and no mass told")
    row = notes.material(name or generic)
    sheet = thickness
    if sheet is None:
        sheet = row.thickness or 0.005
        if areal_mass is None:
            notes.number(f"{path}.thickness", sheet, "length", f"{row.name} as it is sold", row.source)
    return {"material": name or generic, "thickness": sheet, "areal_mass": areal_mass or row.areal(sheet)}


def complete_body(path: str, body: Body, notes: Notes) -> Body:
    """Return the body with drag coefficient and mass all told."""
    update: dict[str, Any] = {}
    if body.drag_coefficient is None:
        (along, _, _), source = rule_row("shape", body.shape)
        why = f'a body called "{body.shape}", on width times height'
        update["drag_coefficient"] = notes.number(f"{path}.drag_coefficient", along, "number", why, source)
    note_guesses(path, body, notes)
    if body.mass is None:
        update.update(_sheet(path, body.material, body.thickness, body.areal_mass, "light foam board", notes))
    return body.model_copy(update=update)


def complete_strut(path: str, strut: Strut, notes: Notes) -> Strut:
    """Return the strut with material told."""
    if strut.material is not None:
        return strut
    word = strut.tube.words if strut.tube is not None else ""
    if word:
        return strut.model_copy(update={"material": word})
    name = "carbon tube" if strut.tube is not None or known(strut.diameter) > 0.003 else "steel"
    if strut.mass is None:
        notes.text(f"{path}.material", name, "the usual stock for this size")
    return strut.model_copy(update={"material": name})


def complete_wheel(path: str, wheel: Wheel, notes: Notes) -> Wheel:
    """Return the wheel with width and mass told."""
    update: dict[str, Any] = {}
    width = wheel.width
    if width is None:
        share = rule("structure", "wheel_width")
        width = update["width"] = share.value * wheel.diameter
    if wheel.mass is None:
        density = rule("structure", "wheel_density")
        mass = density.value * math.pi / 4.0 * wheel.diameter**2 * width
        update["mass"] = notes.number(f"{path}.mass", mass, "mass", "foam-tyred wheel of this size", density.source)
    return wheel.model_copy(update=update)
