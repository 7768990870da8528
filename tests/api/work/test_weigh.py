"""How much work a document asks for."""

from api.work.weigh import LEAST, MOST, weight


def test_work_is_told_by_bores_and_readings_and_not_by_bytes() -> None:
    bores = [{"name": f"{number}", "nominal_diameter": "90 mm"} for number in range(40)]
    small = str({"bores": bores}).replace("'", '"')
    assert weight(small) == LEAST + 40
    assert weight(small + " " * 2_000_000) == LEAST + 40
    assert weight(small, None, small.encode()) == LEAST + 80
    assert weight("[" + "1," * 10_000 + "1]") == LEAST + 10
    assert weight(small * 100) == MOST
    assert weight(small.replace("bores", "\\u0062ores")) == MOST, "what is hidden counts as much as it may be"
    assert weight(small + "\\u00e4\\u003c") == LEAST + 40, "a letter of another alphabet hides nothing"
