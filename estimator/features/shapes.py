"""Volumes of what a bore has besides a plain cylinder. Geometry only; scalars or arrays."""

import math

from estimator.either import above_zero
from estimator.formula import formula

__all__ = [
    "chamfer_volume",
    "face_build",
    "face_cut",
    "groove_volume",
    "hole_volume",
    "laid_thickness",
    "layer_of",
    "pocket_filled",
    "ring_volume",
]


@formula("volume", "geometry: ring", "computed", unit="m3")
def ring_volume(outside: float, inside: float, thickness: float) -> float:
    """Volume of a flat ring. [m³]"""
    return math.pi / 4 * (outside**2 - inside**2) * thickness


@formula("build", "definition: wear, clean-up and facing allowance together", "computed", unit="m")
def face_build(depth: float, cleanup_allowance: float, machining_allowance: float) -> float:
    """Thickness that a worn face is built up. [m]"""
    return depth + cleanup_allowance + machining_allowance


@formula("thickness", "whole layers of one thickness", "computed", unit="m")
def laid_thickness(layers: int, layer_thickness: float) -> float:
    """Thickness that whole layers lay on a face. [m]"""
    return layers * layer_thickness


@formula("layer_thickness", "a build shared among its layers, none thinner than is sound", "computed", unit="m")
def layer_of(build: float, layers: int, thinnest_layer: float) -> float:
    """Thickness of each layer on a face. [m]"""
    return max(build / layers, thinnest_layer)


@formula("depth", "what is laid less what was missing", "computed", unit="m")
def face_cut(laid: float, depth: float) -> float:
    """Depth that is cut away of what was laid. [m]"""
    return laid - depth


@formula("volume", "geometry: ring, nothing where the groove lies within the cut", "computed", unit="m3")
def groove_volume(bottom: float, inside: float, length: float) -> float:
    """Volume of a groove outside a bore. [m³]"""
    return above_zero(math.pi / 4 * (bottom**2 - inside**2) * length)


@formula("volume", "geometry: cylinder through the weld", "computed", unit="m3")
def hole_volume(diameter: float, build: float) -> float:
    """Volume drilled out of the weld for one hole. [m³]"""
    return math.pi / 4 * diameter**2 * build


@formula("volume", "geometry: frustum of a cone less the bore", "computed", unit="m3")
def chamfer_volume(finish: float, length: float, slope: float) -> float:
    """Volume of a chamfer: its length along the axis, `slope` how far it opens a side per length. [m³]"""
    large = finish / 2 + length * slope
    small = finish / 2
    return math.pi * length * ((large**2 + large * small + small**2) / 3 - small**2)


@formula("volume", "conservation of metal: what was worn and what was ground off", "computed", unit="m3")
def pocket_filled(worn: float, skin: float, over: float) -> float:
    """Volume that fills a pocket, so far inwards that the cut comes out clean. [m³]"""
    return worn + skin + over
