"""Shape of the heap and its nodes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.heat.physics import geometry


def test_nodes_fill_the_volume():
    assert pytest.approx(1.0) == geometry.VOLUME_SHARES.sum()
    assert pytest.approx([0.0825, 0.2047, 0.3086, 0.4042], abs=1e-4) == geometry.VOLUME_SHARES
    assert pytest.approx(1.0) == geometry.BURIED_SHARES.sum()
    assert geometry.BURIED_SHARES[-1] == 0.0  # loops lie within 0.7 of the radius


@given(st.floats(0.1, 500))
def test_half_ellipsoid(volume):
    foot = float(geometry.radius(volume))
    assert 2 / 3 * np.pi * foot**2 * (0.9 * foot) == pytest.approx(volume)
    area = float(geometry.exposed_area(np.array(foot)) + geometry.ground_area(np.array(foot)))
    assert float(geometry.sphere_radius(volume)) == pytest.approx(3 * volume / area)


def test_conductances_are_those_of_spherical_shells():
    conductivity, volume = 0.2, 23.0
    outer = float(geometry.sphere_radius(volume))
    spheres = volume / (4 / 3 * np.pi * outer**3)
    radii = geometry.MEDIAN_RADII * outer
    first = 0.8 * spheres * 4 * np.pi * conductivity / (1 / radii[0] - 1 / radii[1])
    assert conductivity * float(geometry.radius(volume)) * geometry.CONDUCTANCE_SHAPES[0] == pytest.approx(first)
