"""Worn faces of the boss: built up in whole layers and faced."""

import math

from estimator.cut.facing import face_passes
from estimator.either import whole_up
from estimator.features.feature import Feature, FeaturePass, Site, edge_at, side_of
from estimator.formula import choice, formula, leaf
from estimator.tables.messages import say
from estimator.weld.technique import Situation, bound

__all__ = ["plan"]


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


def plan(site: Site) -> list[Feature]:
    """Return each face: built up in whole layers, cleaned before and faced after."""
    facts, found = site.book.facts, list[Feature]()
    clean, allow = facts.constant("face_cleanup"), facts.constant("face_allowance")
    window = bound(facts, "layer_thickness", Situation("any", "any"), "must", "comfort")
    for number, face in enumerate(site.survey.bore.faces, 1):
        inside, build = edge_at(site.survey, face.side), face_build(face.depth, clean, allow)
        layers = choice(int(whole_up(build / window.high)), "layers", "fewest layers within comfort", build=build)
        least = leaf(window.low, "fact", "thinnest", "least comfortable layer, limits table", unit="m")
        laid = laid_thickness(layers, layer_of(build, layers, least))
        cut = face_cut(laid, face.depth)
        size = {"outside": face.outer_diameter, "inside": inside}
        before = face_passes("face clean-up", **size, depth=clean, family=site.family, facts=facts, book=site.book)
        off = face_cut(cut, clean)
        after = face_passes("facing", **size, depth=off, family="weld metal", facts=facts, book=site.book)
        said = say("face", side=side_of(face.side), layers=layers)
        if face.runout is not None:
            said = say("face_true", side=side_of(face.side), layers=layers, runout=face.runout)
        found.append(
            Feature(
                face.per,
                f"face {number}",
                said,
                ring_volume(face.outer_diameter, inside, laid),
                ring_volume(face.outer_diameter, inside, cut),
                before=tuple(FeaturePass(*one) for one in before),
                after=tuple(FeaturePass(*one) for one in after),
                counts={face.per: 1},
            )
        )
    return found
