"""Tube and duct laid out: lengths by the spiral's own formula, all of it within the inner heap, no turn on another."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.heat.physics.geometry import BURIED_WITHIN
from service.planning.layout import DUCT_SPACING_M, DuctLayout, HeapShape, LoopLayout, duct_layout, loop_layout
from service.planning.spirals import (
    Turns,
    buried_radius,
    cut_to,
    joints_length,
    spiral_length,
    spirals_length,
    wound,
)
from tests.each import each


@each([(0.5, 1.5, 0.5), (0.2, 3.3, 0.2), (1.0, 1.1, 0.3)])
def test_length_of_a_spiral_is_the_sum_of_its_chords(inner: float, outer: float, pitch: float) -> None:
    radius = np.linspace(inner, outer, 100_001)
    angle = 2 * np.pi * radius / pitch
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    assert spiral_length(inner, outer, pitch) == pytest.approx(np.hypot(np.diff(x), np.diff(y)).sum(), rel=1e-6)


@each([True, False])
def test_layers_are_shortened_to_a_length(keep_outer: bool) -> None:
    layers = (Turns(0.3, 0.4, 2.0, 0.4), Turns(0.7, 0.4, 1.5, 0.4))
    shorter = cut_to(layers, 12.0, keep_outer=keep_outer)
    assert spirals_length(shorter) == pytest.approx(12.0)
    for before, after in zip(layers, shorter, strict=True):
        kept = (before.outer_m, after.outer_m) if keep_outer else (before.inner_m, after.inner_m)
        assert kept[0] == kept[1] and after.turns < before.turns
    assert cut_to(layers, 1000.0, keep_outer=keep_outer) == layers


def within(shape: HeapShape, layout: LoopLayout | DuctLayout) -> bool:
    """No turn outside the ellipsoid of seven tenths of the heap."""
    foot, height = BURIED_WITHIN * shape.radius_m, BURIED_WITHIN * shape.height_m
    return all((each.outer_m / foot) ** 2 + (each.height_m / height) ** 2 <= 1 + 1e-9 for each in layout.layers)


@settings(deadline=None, max_examples=20)
@given(
    volume=st.floats(0.5, 500),
    draw=st.floats(10, 50_000),
    limit=st.floats(30, 60),
    tube=st.sampled_from(["plastic", "copper"]),
)
def test_loop_and_duct_lie_inside_and_apart(volume: float, draw: float, limit: float, tube: str) -> None:
    shape = HeapShape(volume)
    loop = loop_layout(shape, draw, limit, tube, 20.0)  # type: ignore[arg-type]
    duct = duct_layout(shape, draw, limit, loop)
    for layout in (loop, duct):
        assert within(shape, layout)
        # The length told is the length laid
        assert spirals_length(layout.layers) == pytest.approx(layout.length_m.value, rel=1e-6)
        assert layout.layers[0].height_m > 0 and layout.rises_m > 0
    assert loop.from_centre_m[0] > 0 and loop.from_face_m >= 0.3 * shape.radius_m - 1e-9
    for a, b in pairwise(loop.layers):
        assert b.height_m - a.height_m == pytest.approx(loop.spacing_m)
    for a, b in pairwise(duct.layers):
        assert b.height_m - a.height_m >= DUCT_SPACING_M - 1e-9
    # A duct of 10 cm beside a tube of 3 cm needs 6.5 cm between their middles
    gaps = [abs(d.height_m - t.height_m) for d in duct.layers for t in loop.layers]
    assert min(gaps) >= 0.09


def test_the_shape_of_the_inner_heap() -> None:
    shape = HeapShape(30.0)
    assert buried_radius(shape.radius_m, shape.height_m, 0.0) == pytest.approx(0.7 * shape.radius_m)
    assert buried_radius(shape.radius_m, shape.height_m, 0.7 * shape.height_m) == 0.0


def test_more_tube_than_there_is_room_for_is_told() -> None:
    crowded = loop_layout(HeapShape(8.0), 20_000.0, 40.0, "plastic", 20.0)
    assert crowded.crowded and crowded.spacing_m == pytest.approx(0.2)
    assert not loop_layout(HeapShape(30.0), 400.0, 40.0, "plastic", 20.0).crowded


def test_layers_are_wound_as_one_length() -> None:
    layers = (Turns(0.3, 0.5, 1.7, 0.5), Turns(0.8, 0.5, 1.4, 0.5), Turns(1.3, 0.5, 0.9, 0.5))
    first, second, third = wound(layers)
    turn = 2 * np.pi
    for off in (second.angle(0.5) - first.angle(0.5), third.angle(0.9) - second.angle(1.4)):
        assert off / turn == pytest.approx(round(off / turn), abs=1e-9)
    # Round and round the same way: against the clock inwards on the first, outwards on the second
    for coil in (first, second, third):
        along = [0.9, 0.7, 0.5] if coil.inwards else [0.5, 0.7, 0.9]
        angles = [coil.angle(radius) for radius in along]
        assert angles == sorted(angles, reverse=True)


@each([0.0, np.pi, 1.3])
def test_turns_cross_a_ray_where_their_angle_is_the_rays(angle: float) -> None:
    for coil in wound((Turns(0.3, 0.5, 1.7, 0.5), Turns(0.8, 0.45, 1.4, 0.4))):
        found = coil.crossings(angle)
        assert len(found) in (int(coil.turns.turns), int(coil.turns.turns) + 1)
        for radius in found:
            off = (coil.angle(radius) - angle) / (2 * np.pi)
            assert off == pytest.approx(round(off), abs=1e-9)
            assert coil.turns.inner_m - 1e-9 <= radius <= coil.turns.outer_m + 1e-9


def test_joints_of_two_layers() -> None:
    layers = (Turns(0.3, 0.5, 1.7, 0.5), Turns(0.8, 0.5, 1.4, 0.5))
    # In at the foot's edge (2 m), up inside, out at the top: all straight
    assert joints_length(layers, 2.0) == pytest.approx(np.hypot(0.3, 0.3) + 0.5 + np.hypot(0.6, 0.8))
