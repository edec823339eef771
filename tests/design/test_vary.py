"""Variants from recordings against the same variants read and filled one by one, on every example."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.base.traced import Tape, cos, hypot, sqrt
from rotorwright.design.aircraft_file import load
from rotorwright.design.fields import dimension_of
from rotorwright.design.fill import FilledRows, fill
from rotorwright.design.vary import Recorder

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def _measures(told, path=""):
    """Every measure of a file that a study may vary, dotted, with its SI value in the tables."""
    for name, value in told.items() if isinstance(told, dict) else enumerate(told):
        here = f"{path}.{name}" if path else str(name)
        if isinstance(value, dict | list):
            yield from _measures(value, here)
        elif dimension_of(here) is not None and not here.startswith("reserve"):
            yield here


def _compare(aeroplane, fields, values):
    """Return how many variants there are after comparing each with the file's own path."""
    recorder = Recorder(aeroplane, fields)
    found = recorder.vary(values)
    seen = 0
    for group in found.there:
        for place, design in enumerate(group.designs):
            own = fill(aeroplane.changed({name: values[name][design] for name in fields}))
            assert own.names == group.rows.names
            for kind in FilledRows._fields[:-1]:
                ours, theirs = getattr(group.rows, kind)[place], getattr(own, kind)
                for name in ours.dtype.names:
                    np.testing.assert_allclose(
                        ours[name], theirs[name], rtol=1e-12, atol=1e-15, err_msg=f"{kind} {name}"
                    )
            seen += 1
    for group in found.refused:
        for design in group.designs:
            with pytest.raises(InputProblems):
                aeroplane.changed({name: values[name][design] for name in fields})
            seen += 1
    assert seen == len(values[fields[0]])
    return recorder, found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_measure_of_every_example_varied_at_once(path):
    aeroplane = load(path)
    fields = tuple(_measures(aeroplane.told))
    assert len(fields) > 20
    random = np.random.default_rng(7)
    count = 24
    values = {}
    for name in fields:
        middle = float(aeroplane.value(name))
        share = 0.001 if name.endswith("temperature") else 0.04
        values[name] = [float(each) for each in middle * random.uniform(1.0 - share, 1.0 + share, count)]
    _, found = _compare(aeroplane, fields, values)
    assert found.by_hand == 0


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_wide_ranges_with_branches_and_refusals(path):
    aeroplane = load(path)
    random = np.random.default_rng(3)
    fields = tuple(
        each
        for each in _measures(aeroplane.told)
        if each.rsplit(".", 1)[-1] in ("span", "diameter", "capacity", "chord")
    )
    values = {
        name: [float(each) for each in float(aeroplane.value(name)) * random.uniform(0.3, 3.0, 40)] for name in fields
    }
    recorder, _ = _compare(aeroplane, fields, values)
    assert recorder.recordings >= 1


def test_choices_have_recordings_of_their_own():
    aeroplane = load(EXAMPLES[0].parent / "marsh-tumbler.toml")
    rotor = next(iter(aeroplane.tables.rotor))
    fields = (f"rotor.{rotor}.span", f"rotor.{rotor}.discs.count")
    spans = float(aeroplane.value(fields[0])) * np.linspace(0.9, 1.1, 12)
    values = {fields[0]: [float(each) for each in spans], fields[1]: [2, 3, 4] * 4}
    recorder, found = _compare(aeroplane, fields, values)
    assert recorder.recordings >= 3
    assert len(found.there) == 3  # other parts: other batches


def test_a_lost_trace_is_noticed_and_the_file_read_one_by_one(monkeypatch):
    aeroplane = load(EXAMPLES[0].parent / "marsh-tumbler.toml")
    rotor = next(iter(aeroplane.tables.rotor))
    from rotorwright.design import mass_rows

    kept = mass_rows.vane_area_and_gyration
    monkeypatch.setattr(mass_rows, "vane_area_and_gyration", lambda rotor: tuple(float(each) for each in kept(rotor)))
    field = f"rotor.{rotor}.span"
    spans = float(aeroplane.value(field)) * np.linspace(0.95, 1.05, 5)
    _, found = _compare(aeroplane, (field,), {field: [float(each) for each in spans]})
    assert found.by_hand == 5


def test_a_tape_plays_what_was_done_and_tells_other_ways_apart():
    def reckon(one, other):
        if one > 2.0:
            return 7.0 * one
        return sqrt(abs(one - 3.0) ** 2 + max(other, 0.5)) - cos(one) / hypot(2.0, -other) + (1 if other else 2)

    tape = Tape()
    first = tape.take(1.0), tape.take(0.7)
    wanted = reckon(*first)
    inputs = np.array([[1.0, 0.7], [1.5, 0.9], [2.5, 0.9], [1.0, 0.2]])
    same, (result,) = tape.play(inputs, [wanted])
    assert same.tolist() == [True, True, False, False]
    assert result[1] == pytest.approx(reckon(1.5, 0.9), rel=1e-15)
    assert result[0] == reckon(1.0, 0.7)
