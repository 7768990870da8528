"""Own arc, overlap and ends of beads against independent fits and published shapes."""

import numpy as np
import pytest
from scipy.optimize import nnls

from estimator.book.own_arc import OwnArc, fitted, section_share
from estimator.book.pricebook import read_pricebook
from estimator.tables.rows import Gas, Transfer, Wire
from estimator.units import factor
from estimator.weld import arc, bead, steel

FACTS = read_pricebook().facts
SOLID = FACTS.row("wires", "G3Si1 1.0 mm", Wire)
CORED = FACTS.row("wires", "E70C-6M 0.045 in", Wire)


def own(*pairs: tuple[float, float], **test_bead: str) -> OwnArc:
    rows = [{"current": f"{amps} A", "feed": f"{feed} m/min"} for amps, feed in pairs]
    return OwnArc.model_validate({"pairs": rows, **({"bead": test_bead} if test_bead else {})})


FEEDS = [
    [(90, 2.9), (120, 4.0), (180, 6.6)],
    [(90, 2.9), (120, 3.9), (180, 5.7)],  # bends the other way: the squared term would come out below zero
    [(80, 1.9), (120, 3.9), (160, 7.0)],  # so bent that the linear term would
]


@pytest.mark.parametrize("feeds", FEEDS)
def test_wide_pairs_are_fitted_as_scipy_fits_them(feeds: list[tuple[float, float]]) -> None:
    amps, feed = np.array(feeds).T
    expected, _ = nnls(np.column_stack((amps, amps**2)), feed / 60)
    linear, squared, _ = fitted(own(*feeds).pairs, SOLID)
    assert [linear, squared] == pytest.approx(expected, rel=1e-9, abs=1e-15)


def test_narrow_pairs_keep_the_bend_of_the_row() -> None:
    """One factor over the row's law, by numpy: pairs within a few tens of amperes cannot tell how it bends."""
    feeds = [(115.0, 3.6), (125.0, 4.2), (135.0, 4.3)]
    amps, feed = np.array(feeds).T
    for wire in (SOLID, CORED):
        law = wire.feed_linear * amps + wire.feed_squared * amps**2
        (share,), *_ = np.linalg.lstsq(law[:, None], feed / 60)
        linear, squared, parts = fitted(own(*feeds).pairs, wire)
        assert (linear, squared) == pytest.approx((share * wire.feed_linear, share * wire.feed_squared), rel=1e-12)
        assert parts == 1


def test_a_bead_that_holds_the_metal_laid_agrees_with_conservation() -> None:
    """0.9 mm, 6 m/min, efficiency 0.93, 6 mm/s is 9.86 mm2 (hand-worked in a public test file): 7 mm by 2.113 mm."""
    wire = FACTS.row("wires", "G3Si1 0.9 mm", Wire)
    pairs = [(amps, amps * 0.04) for amps in (100.0, 150.0, 180.0)]
    lone = own(*pairs, current="150 A", travel="6 mm/s", width="7 mm", height="2.113 mm")
    assert section_share(lone, wire) == pytest.approx(1.0, abs=0.001)  # the published 9.86 has three digits


def test_overlap_is_the_rest_of_the_step() -> None:
    """Half of the width as step is half overlap (definition; the trade also says 60 % step-over for 40 % overlap)."""
    assert bead.overlap(arc.step_ratio(3.5e-3, 7e-3)) == pytest.approx(0.5)
    assert bead.overlap(0.6) == pytest.approx(0.4)


def test_end_beads_leave_the_face_short_by_what_their_neighbours_would_add() -> None:
    """W 7, h 2.238, A 10.446 mm2 at 3.5 mm: 2.985 mm inside; on the face one bead stands alone, 2.238 high (by hand).

    With a whole bead on a ring beside, two beads meet at the face, each 3/4 of h high: 3.357 mm, no shortfall.
    With no run-over the first bead's middle is half a step inside: 0.75 h and nothing more, 1.306 mm short.
    """
    shape = (2.985e-3, 2.238e-3, 7e-3, 3.5e-3)
    assert bead.end_shortfall(*shape, 1) == pytest.approx(0.747e-3, abs=1e-6)
    assert bead.end_shortfall(*shape, 2) == 0
    assert bead.end_shortfall(*shape, 0) == pytest.approx(1.3065e-3, abs=1e-6)


def test_added_parabolas_hold_the_even_layer_far_from_the_ends() -> None:
    """Mean height of added parabolas over one step is area over step, for any step (numpy, 20 000 places)."""
    height, width, step = 2.238e-3, 7e-3, 3.9e-3
    places = (np.arange(20000) + 0.5) / 20000 * step
    beads = np.arange(-5, 6)[:, None] * step
    added = np.clip(1 - (2 * (places - beads) / width) ** 2, 0, None).sum(axis=0) * height
    assert added.mean() == pytest.approx(2 / 3 * width * height / step, rel=1e-6)
    turns = [2 * n + 1 for n in range(1, 5)]  # the face in the middle of a bead, ever further from the end
    inside = bead.end_shortfall(2.985e-3, height, width, step, turns[-1])
    assert inside == pytest.approx(2.985e-3 - added[0], abs=1e-6)


def test_what_is_left_and_what_moved() -> None:
    """90.027 to 87 mm leaves 1.5135 mm a side; 4.95 for 4.5 is a tenth more (by hand)."""
    assert bead.left_to_bore(0.090027, 0.087) == pytest.approx(1.5135e-3, abs=1e-9)
    assert bead.moved(4.95, 4.5) == pytest.approx(0.1)


def test_share_of_base_metal_by_layers() -> None:
    """30 % dilution: 30 % base metal in the first layer, 9 % in the second (definition)."""
    assert [steel.base_share(0.3, n) for n in (1, 2)] == pytest.approx([0.3, 0.09])


# ESAB, MIG Welding Handbook, Table 1-2: spray begins in argon with 2 % oxygen. Short arc below it, all sizes.
ONSET = [("G3Si1 0.8 mm", 150.0), ("ER70S-6 0.035 in", 165.0), ("ER70S-6 0.045 in", 220.0)]


@pytest.mark.parametrize(("name", "onset"), ONSET)
def test_below_the_published_onset_of_spray_the_arc_is_short(name: str, onset: float) -> None:
    wire, rows = FACTS.row("wires", name, Wire), FACTS.rows("transfer").values()
    for gas in (row for row in FACTS.rows("gases").values() if isinstance(row, Gas)):
        for current in (wire.current_low, onset - 1):
            met = [row for row in rows if isinstance(row, Transfer) and row.meets(wire, gas, current)]
            assert met[0].mode == "short arc", (gas.name, current)


def test_no_solid_wire_sprays_anywhere_a_bore_is_welded() -> None:
    """100 to 180 A on 0.9 to 1.2 mm: there is no spray to be had; the row says what the arc does instead."""
    for wire in (row for row in FACTS.rows("wires").values() if isinstance(row, Wire) and row.kind == "solid"):
        for gas in (row for row in FACTS.rows("gases").values() if isinstance(row, Gas)):
            for current in np.arange(100.0, min(wire.current_high, 180.0) + 1, 5.0):
                met = [
                    r
                    for r in FACTS.rows("transfer").values()
                    if isinstance(r, Transfer) and r.meets(wire, gas, current)
                ]
                assert met, (wire.name, gas.name, current)
                assert met[0].mode in ("short arc", "large drops")


def test_metal_cored_wire_sprays_from_where_the_makers_sheet_says() -> None:
    """Sheet of an E70C-6M wire: 17 V at 150 A, 28 to 30 V at 180 A."""
    gas = FACTS.row("gases", "Ar + 18 % CO2", Gas)
    rows = [row for row in FACTS.rows("transfer").values() if isinstance(row, Transfer)]
    modes = [next(r.mode for r in rows if r.meets(CORED, gas, amps * factor("A"))) for amps in (90.0, 150.0, 180.0)]
    assert modes == ["short arc", "short arc", "spray"]
