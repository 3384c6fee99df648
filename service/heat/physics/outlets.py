"""What a read outlet says of a duct or a loop: conductances that give it, and how far the flow must be scaled.

The model's air and water take the mean warmth of the middle of the heap. What was read may be closer to the core than
that mean, and then no conductance gives it: flow and conductances are scaled together, so that the heat drawn is the
heat that was read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.heat.physics import air_duct, moist_air, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.flows import humidity_of, vapour_enthalpy
from service.heat.physics.geometry import BURIED_SHARES
from service.heat.physics.piles import WATER_HEAT
from service.units.figures import figures

LEAST_SCALE, MOST_SCALE = figures(
    (0.3, "1"),
    (4.0, "1"),
    why="Beyond these the readings contradict each other, and the draw is not made up to fit them",
    how_known="no source",
)


@dataclass(frozen=True, slots=True)
class DuctRead:
    """Conductance [W/K] of a duct before scaling, and the scale of its flow and conductance [1]."""

    conductance_w_k: Array
    scale: Array


@dataclass(frozen=True, slots=True)
class LoopRead:
    """Inner and outer conductance [W/K] of a loop before scaling, and the scale of its flow and both [1]."""

    inner_w_k: Array
    outer_w_k: Array
    scale: Array


def duct_read(
    dry_air_kg_s: Array, inlet_c: Array, outlet_c: Array, *, celsius: Array, through: Array, wetness: Array
) -> DuctRead:
    """A duct whose outlet was read, in material of these node temperatures, (4, ...).

    `through` is 1 where the air touches the material; it is then taken to come out saturated. `wetness` is the share of
    the full vapour pressure over the material, see `losses.wetness`.
    """
    capacity = air_duct.capacity_of(dry_air_kg_s, inlet_c)
    material_c = _mean(celsius)
    conductance = air_duct.conductance_from_outlet(capacity, inlet_c, outlet_c, material_c)
    share = air_duct.effectiveness(conductance, capacity)
    brought = moist_air.humidity_ratio_at(inlet_c, air_duct.INLET_HUMIDITY)
    gained = np.maximum(moist_air.humidity_ratio_at(outlet_c) - brought, 0.0)
    latent = through * dry_air_kg_s * gained * vapour_enthalpy(outlet_c)
    modelled = capacity * share * (material_c - inlet_c)
    carried = through * dry_air_kg_s * _latent(share, inlet_c, celsius, wetness)
    return DuctRead(conductance, _scale(capacity * (outlet_c - inlet_c) + latent, modelled + carried))


def loop_read(
    flow_kg_s: Array, hour_share: Array, *, inlet_c: Array, outlet_c: Array, celsius: Array, outer_w_k: Array
) -> LoopRead:
    """A loop whose outlet was read, in material of these node temperatures, (4, ...), for an expected outer part."""
    material_c = _mean(celsius)
    inner, outer = water_loop.conductances_from_outlet(
        flow_kg_s, hour_share, inlet_c=inlet_c, outlet_c=outlet_c, material_c=material_c, outer_w_k=outer_w_k
    )
    running = water_loop.running_conductance(flow_kg_s, inner, outer, hour_share)
    read = WATER_HEAT * flow_kg_s * (outlet_c - inlet_c)
    return LoopRead(inner, outer, _scale(read, running * (material_c - inlet_c)))


def _mean(celsius: Array) -> Array:
    nodes = BURIED_SHARES.reshape(-1, *[1] * (celsius.ndim - 1))
    result: Array = np.add.reduce(nodes * celsius)
    return result


def _latent(share: Array, inlet_c: Array, celsius: Array, wetness: Array) -> Array:
    """Heat of the vapour that a kilogram of air takes up as the model has it. [J/kg]"""
    nodes = BURIED_SHARES.reshape(-1, *[1] * (celsius.ndim - 1))
    brought = air_duct.INLET_HUMIDITY * moist_air.saturation_pressure_quick(inlet_c)
    brought = moist_air.WATER_TO_AIR_MASS * brought / (moist_air.STANDARD_PRESSURE_PA - brought)
    outlet = inlet_c + share * (celsius - inlet_c)
    wet = np.broadcast_to(wetness, celsius.shape)
    neared = share * (air_duct.OUTLET_HUMIDITY * humidity_of(celsius, wet) - brought)
    allowed = air_duct.OUTLET_HUMIDITY * humidity_of(outlet, wet) - brought
    gained = np.maximum(np.minimum(neared, allowed), 0.0)
    result: Array = np.add.reduce(nodes * gained * vapour_enthalpy(outlet))
    return result


def _scale(read_w: Array, modelled_w: Array) -> Array:
    """How far the flow must be scaled, 1 where nothing is drawn either way."""
    drawing = (read_w > 0.0) & (modelled_w > 0.0)
    ratio = read_w / np.where(drawing, modelled_w, 1.0)
    return np.where(drawing, np.clip(ratio, LEAST_SCALE, MOST_SCALE), 1.0)
