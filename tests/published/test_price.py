"""Money: margin and markup, half-up rounding, minor units, against published sheets and rules."""

from decimal import Decimal

import pytest

from estimator.beside.variants import dearer
from estimator.book.pricebook import builtin_document, minor_units, read_pricebook
from estimator.estimate import estimate
from estimator.money.lines import amount_of, printed
from estimator.money.parts import _sum_of, margin_on, markup_on
from estimator.money.price import discounted, reached_margin, taken_off, taxed, with_margin, with_markup, with_tax
from estimator.money.recipe import escalated
from tests.jobs import job

D = Decimal
CENT, NONE = "0.01", Decimal(0)

# A published rate sheet of 2016 (studylib 18743308): rate x 1.5 / 2 / 2.5; half-even would print 336.32 and so on.
SHEET = [
    ("134.53", "1.5", "201.80"),
    ("134.53", "2", "269.06"),
    ("134.53", "2.5", "336.33"),
    ("174.85", "2.5", "437.13"),
    ("155.65", "2.5", "389.13"),
]


@pytest.mark.parametrize(("rate", "times", "printed_amount"), SHEET)
def test_amounts_round_half_up_as_on_a_published_sheet(rate: str, times: str, printed_amount: str) -> None:
    assert amount_of(D(times), D(rate), CENT) == D(printed_amount)


def test_quantities_are_printed_half_up() -> None:
    assert printed(7218.0, "h", "0.01") == D("2.01")  # 2.005 h
    assert printed(0.125, "", "0.01") == D("0.13")
    assert printed(2.675, "", "0.01") == D("2.68")  # a float's round gives 2.67


def test_margin_is_of_the_price_and_markup_of_the_cost() -> None:
    """contractorcfo, engineeringtoolbox d_1706: 80,000 at 20 % markup is 96,000, at 20 % margin 100,000."""
    assert with_markup(D(80000), NONE, D("0.20"), NONE, D(CENT), CENT) == D("96000.00")
    assert with_margin(D(80000), NONE, D("0.20"), NONE, D(CENT), CENT) == D("100000.00")


def test_what_is_bought_for_a_job_bears_the_same() -> None:
    """The same two examples, for an extra that is told at its cost."""
    assert markup_on(D(80000), D("0.20"), CENT) == D("96000.00")
    assert margin_on(D(80000), D("0.20"), CENT) == D("100000.00")


def test_tax_of_two_rates_is_the_sum_of_both() -> None:
    """By hand: 19 % of 100.00 and 7 % of 50.00, each rounded by itself (2026-11)."""
    assert _sum_of(tax_1=taxed(D("100.00"), D("0.19"), CENT), tax_2=taxed(D("50.00"), D("0.07"), CENT)) == D("22.50")


def test_costs_rise_by_compound_interest() -> None:
    """By hand: 5 % a year for two years is 10.25 %; for none it is nothing (2026-11)."""
    assert escalated(0.05, 2.0) == pytest.approx(0.1025, rel=1e-12)
    assert escalated(0.05, 0.0) == 0.0


def test_markup_of_25_percent_is_a_margin_of_20() -> None:
    """Engineeringtoolbox d_1706: cost 200,000, 25 % markup -> 250,000, gross profit 20 %."""
    price = with_markup(D(200000), NONE, D("0.25"), NONE, D(CENT), CENT)
    assert (price, reached_margin(price, D(200000))) == (D("250000.00"), D("0.2"))


def test_margin_with_tax_by_hand() -> None:
    """Cost 1234.56, 35 % margin, 20 % tax: 1899.32, 379.86, 2279.18 (by hand, 2026-11)."""
    before = with_margin(D("1234.56"), NONE, D("0.35"), NONE, D(CENT), CENT)
    tax = taxed(before, D("0.20"), CENT)
    assert (before, tax, with_tax(before, tax)) == (D("1899.32"), D("379.86"), D("2279.18"))


# Lessons on trade discount: business maths of initiatewebdevelopment (2019), $399 at 25 %; a college's slides on
# discounts in series (scribd 532911243), 27,450.00 less 10, 8 and 5 %.
DISCOUNTS = [
    ("399", "0.25", "99.75", "299.25"),
    ("27450.00", "0.10", "2745.00", "24705.00"),
    ("24705.00", "0.08", "1976.40", "22728.60"),
    ("22728.60", "0.05", "1136.43", "21592.17"),
]


@pytest.mark.parametrize(("price", "fraction", "off", "net"), DISCOUNTS)
def test_a_discount_is_taken_off_the_listed_price(price: str, fraction: str, off: str, net: str) -> None:
    less = taken_off(D(price), D(fraction), CENT)
    assert (less, discounted(D(price), less)) == (D(off), D(net))


def test_tax_is_rounded_once_on_the_total() -> None:
    """UK VAT Notice 700 17.5: 3 x 1.03 at 20 % is 0.63 by line, 0.62 on the total; ours is the total."""
    assert taxed(D("3.09"), D("0.20"), CENT) == D("0.62")


def test_minimum_charge_as_on_a_published_page() -> None:
    """fs6.formsite.com/socalwelding/Rates-Terms: 8 h at 155 and 100 travel is a minimum of 1,340."""
    assert with_margin(D(200), NONE, D("0.1"), D(1340), D(CENT), CENT) == D("1340.00")


def test_charged_out_work_bears_no_margin_again() -> None:
    assert with_margin(D(100), D(500), D("0.5"), NONE, D(CENT), CENT) == D("700.00")


def test_prices_round_to_the_books_step() -> None:
    assert with_margin(D("1234.56"), NONE, D("0.35"), NONE, D(5), CENT) == D("1900.00")


def test_what_a_changed_job_costs_more() -> None:
    assert dearer(D("1000.00"), D("940.00")) == D("60.00")


@pytest.mark.parametrize(("code", "places"), [("JPY", 0), ("KWD", 3), ("IQD", 3), ("CLF", 4), ("UGX", 0), ("HUF", 2)])
def test_minor_units_are_iso_4217(code: str, places: int) -> None:
    assert minor_units()[code] == places


@pytest.mark.parametrize("code", ["JPY", "KWD"])
def test_a_book_in_another_currency_prints_its_places(code: str) -> None:
    text = str(builtin_document()).replace("EUR", code)
    book = read_pricebook(eval(text))  # our own document, written out above
    found = estimate(job(), book)
    for amount in (found["price"]["total"], found["cost"]["total"], found["cost"]["lines"][0]["amount"]):
        assert len(amount.partition(".")[2]) == minor_units()[code]
