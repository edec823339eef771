"""The strength tables: complete, in order, and no kinder than their sources."""

from __future__ import annotations

import math

from rotorwright.design.catalogue.reader import bearings, find_material, materials
from rotorwright.design.catalogue.strengths import (
    bearing_rating,
    sheet_strength,
    stronger_bearings,
    tube_material,
    tube_sizes,
)


def test_every_bearing_has_its_ratings_and_no_catalogue_reads_lower() -> None:
    read = {  # dynamic ratings of three makers' catalogues [N]; SKF-derived tables, Timken 2017, an undated one
        "683": (310, 314), "623": (540, 630, 628), "684": (423, 640, 638), "604": (806, 1000, 961),
        "624": (936, 1300, 1305), "685": (468, 720, 716), "695": (884, 1100), "625": (1140, 1700, 1727),
        "686": (715, 1100, 1079), "626": (2340, 2300, 2335), "688": (819, 1300, 1256), "698": (1460, 2200),
        "608": (3450, 3300, 3296), "6900": (2700,), "6000": (4750,),
    }  # fmt: skip
    for size in bearings():
        rating = bearing_rating(size)
        assert 0.0 < rating.static < rating.load
        assert 5.0 < rating.geometry_factor < 17.0
        if size in read:
            assert rating.load == min(read[size])


def test_tubes_rise_in_stiffness_and_match_their_published_section_values() -> None:
    sizes = {size.name: size for size in tube_sizes()}
    moments = [size.outer**4 - size.inner**4 for size in tube_sizes()]
    assert moments == sorted(moments)
    ten = sizes["10x8"]
    assert (
        math.pi / 64.0 * (ten.outer**4 - ten.inner**4) == 289.8e-12
        or abs(math.pi / 64.0 * (ten.outer**4 - ten.inner**4) - 289.8e-12) < 0.1e-12
    )


def test_every_material_of_a_tube_or_sheet_has_figures_with_a_source() -> None:
    for row in materials().values():
        tube = tube_material(row)
        assert tube.modulus > 0.0
        assert tube.source
        sheet = sheet_strength(row)
        assert sheet is None or (sheet.low < 1.0 < sheet.high and sheet.source)
        if row.name == "balsa":
            assert sheet is not None
            assert sheet.around < 0.1 * (row.strength or 0.0)  # grain along the span: the drum tears across it


def test_stronger_bearings_fit_the_shaft() -> None:
    for row, rating in stronger_bearings("688", 0.008):
        assert 0.008 <= row.bore <= 0.0101
        assert rating.static > bearing_rating("688").static


def test_foam_is_known_by_its_usual_name() -> None:
    foam = find_material("XPS")
    assert foam is not None
    assert sheet_strength(foam) is not None
