"""Cutting where little is left, where weld comes far inside, and where a thicker bar is the softer one."""

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.jobs import codes, job, quick

THIN = {"crest_allowance": {"value": "0.05 mm"}, "overbuild_allowance": {"value": "0.6 mm"}}


def test_no_pass_is_left_without_depth_behind_the_skin() -> None:
    asked = job(quick(45, 48, length="300 mm", outside_diameter="125 mm", machining_allowance="0.6 mm"))
    cuts = estimate(asked, read_pricebook({"tables": {"constants": THIN}}))["bores"][0]["machining"]["passes"]
    assert all(one["depth_mm"] > 0.01 for one in cuts)
    after = [one["purpose"] for one in cuts if one["purpose"] != "clean-up"]
    assert after[0] == "skin" and after[-1] == "finishing"


def test_the_stiffest_bar_is_taken_and_not_the_thickest() -> None:
    """By hand: a tube of 52 and 50 mm has I = pi/64 (52^4 - 50^4) = 0.052e6 mm4, a bar of 50 mm 0.307e6 mm4."""
    tube = {"equipment": {"bars": {"tube": {"diameter": "52 mm", "bore": "50 mm"}}}}
    asked = job(quick(90, 93, length="200 mm"))
    plain, more = (estimate(asked, read_pricebook(book))["bores"][0]["machining"] for book in ({}, tube))
    assert more["bar"] == plain["bar"] != "tube"


def test_weld_that_leaves_the_bar_no_room_is_told() -> None:
    asked = job(quick(48, 48.1, material="42CrMo4", wear="even", outside_diameter="128 mm"))
    found = estimate(asked, read_pricebook())
    least = min(one["from_mm"] for one in found["bores"][0]["machining"]["passes"])
    told = [said for said in codes(found) if said == "bar_tight"]
    assert bool(told) is (least < 42.0)  # the 32 mm bar of the built-in book asks for 42 mm
