"""Where things sit, in file axes (aft, right, up): mirrored twins, drives, midway points."""

from __future__ import annotations

from collections.abc import Iterator

from rotorwright.design.mirrors import twin_name
from rotorwright.design.parts.power import Drive
from rotorwright.design.parts.site import AircraftTables

Point = tuple[float, float, float]


def twins(name: str, place: Point, mirror: bool) -> Iterator[tuple[str, Point, float]]:
    """Yield name, place and side (+1 as told, −1 mirrored) of a part and of its mirrored twin, if it has one."""
    yield name, place, 1.0
    if mirror:
        yield twin_name(name), (place[0], 0.0 - place[1], place[2]), -1.0


def midway(one: Point, other: Point) -> Point:
    """Return the point halfway between two."""
    return ((one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0, (one[2] + other[2]) / 2.0)


def rotor_places(tables: AircraftTables) -> list[tuple[str, str, Point]]:
    """Return name, drive and place of every rotor row, twins included, in row order."""
    rows = []
    for name, rotor in tables.rotor.items():
        for twin, place, _ in twins(name, rotor.position, rotor.mirror):
            rows.append((twin, rotor.drive, place))
    return rows


def drive_places(tables: AircraftTables) -> list[tuple[str, str, Drive, Point]]:
    """Return row name, table name, drive and place of every drive row: one for all its rotors, or one for each."""
    rows: list[tuple[str, str, Drive, Point]] = []
    for name, drive in tables.drive.items():
        served = [(rotor, place) for rotor, wanted, place in rotor_places(tables) if wanted == name]
        if not served:
            continue
        if drive.each and len(served) > 1:
            for number, (rotor, place) in enumerate(served):
                where = drive.position or place
                if drive.position is not None and number and place[1] * where[1] < 0.0:
                    where = (where[0], 0.0 - where[1], where[2])
                rows.append((f"{name} of {rotor}", name, drive, where))
        else:
            count = len(served)
            middle = (
                sum(place[0] for _, place in served) / count,
                sum(place[1] for _, place in served) / count,
                sum(place[2] for _, place in served) / count,
            )
            rows.append((name, name, drive, drive.position or middle))
    return rows
