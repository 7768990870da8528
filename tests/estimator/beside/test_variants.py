"""The same job told another way: a budget's other wear, and the variation that a deeper clean-up cut asks for."""

import json
from decimal import Decimal

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.trust.explain import figures_of, recorded, steps_of
from exports.page.estimate import page
from exports.sheets import quote
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()
DEEP = job(bore(cleanup_diameter="99 mm"))


def test_a_deeper_cut_is_a_variation_in_metal_hours_and_price() -> None:
    """Both sides stand after the cut: gauged to 97 mm, cut to 99 mm."""
    found = estimate(DEEP, BOOK)
    planned = estimate(job(bore(cleanup_diameter="97 mm")), BOOK)
    change = found["variation"]
    (one,) = change["bores"]
    assert (one["planned_cleanup_mm"], one["cut_cleanup_mm"]) == (97.0, 99.0)
    more = found["bores"][0]["buildup"]["deposit_mass_kg"] - planned["bores"][0]["buildup"]["deposit_mass_kg"]
    assert one["deposit_more_kg"] == pytest.approx(more, rel=1e-7)
    assert change["on_site_more_min"] == pytest.approx(
        found["totals"]["on_site_min"] - planned["totals"]["on_site_min"]
    )
    assert Decimal(change["price_more"]) == Decimal(found["price"]["total"]) - Decimal(planned["price"]["total"]) > 0


def test_a_cut_as_gauged_adds_nothing() -> None:
    change = estimate(job(bore(cleanup_diameter="97 mm")), BOOK)["variation"]
    assert (change["price_more"], change["on_site_more_min"]) == ("0.00", 0.0)
    assert "variation" not in estimate(job(), BOOK)


def test_the_variation_stands_on_page_and_quote() -> None:
    found = estimate(DEEP, BOOK)
    assert "VARIATION, TO BE SIGNED" in page(found, "metric", ["scope"])
    words = [cell.value for row in quote.sheet(found).rows for cell in row.cells if isinstance(cell.value, str)]
    assert any("bored to 99.00 mm, 97.00 mm as gauged" in word for word in words)
    assert f"{Decimal(found['variation']['price_more']):,} EUR" in " ".join(words)


def test_every_figure_of_a_variation_is_explained() -> None:
    found = recorded(json.dumps(DEEP), BOOK)
    for key, value in figures_of(found["variation"]):
        steps = steps_of(value)
        assert steps, key
        assert all(why.kind != "literal" for _, why in steps), key


def test_a_budget_stands_though_the_other_wear_is_refused() -> None:
    """Worn even the wall stands; worn one-sided the clean-up would leave too little of it."""
    thin = bore(readings=None, worn_diameter="98 mm", wear="even", outside_diameter="108 mm")
    budget = estimate(job(thin), BOOK)["budget"]
    assert budget["other_price"] is None
    assert any("wall" in why for why in budget["other_refused"])
    words = " ".join(page(estimate(job(thin), BOOK), "metric", ["basis"]).split())
    assert all(why in words for why in budget["other_refused"])
