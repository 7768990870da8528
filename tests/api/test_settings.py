"""Settings: by environment, each with where it came from, no password shown."""

import json

import pytest
from typer.testing import CliRunner

from api.commands import app
from api.settings import Settings, listed, unknown_variables
from api.store.address import masked


def run(*words: str, **variables: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["settings", *words], env=variables)
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(autouse=True)
def _clean(monkeypatch: pytest.MonkeyPatch) -> None:
    for one in Settings.model_fields:
        monkeypatch.delenv(f"BOREWORTH_{one.upper()}", raising=False)


def test_each_setting_says_where_it_came_from() -> None:
    code, out, err = run("--json", BOREWORTH_PORT="8123", BOREWORTH_HOST="")
    assert (code, err) == (0, "")
    found = {one["name"]: (one["value"], one["source"]) for one in json.loads(out)}
    assert set(found) == set(Settings.model_fields)
    assert found["port"] == ("8123", "variable BOREWORTH_PORT")
    assert found["host"] == ("127.0.0.1", "default")
    assert found["database"] == ("sqlite:///boreworth.db", "default")


def test_people_get_a_page_with_what_each_is_for() -> None:
    code, out, _ = run(BOREWORTH_LOGIN="always")
    assert code == 0
    assert "login          always" in out
    for field in Settings.model_fields.values():
        assert field.description
        assert field.description in out


@pytest.mark.parametrize(
    ("url", "shown"),
    [
        ("postgresql://shop:s3cret@db/q", "postgresql://shop:***@db/q"),
        ("postgresql://shop:s3@cret/x@db/q", "postgresql://shop:***@db/q"),
        (
            "postgresql://shop@db/q?password=s3cret&sslmode=require",
            "postgresql://shop@db/q?password=***&sslmode=require",
        ),
        ("postgresql:///q?host=/run&sslpassword=s3cret", "postgresql:///q?host=/run&sslpassword=***"),
        ("postgresql://:s3cret@db/q", "postgresql://:***@db/q"),
        ("postgresql://shop@db/q", "postgresql://shop@db/q"),
        ("sqlite:////var/lib/quotes.db", "sqlite:////var/lib/quotes.db"),
    ],
)
def test_a_password_is_never_shown(url: str, shown: str) -> None:
    assert masked(url) == shown
    code, out, err = run("--json", BOREWORTH_DATABASE=url)
    assert code == 0
    assert "s3" not in out + err
    assert shown in out


def test_a_wrong_value_is_told_by_its_name_without_the_value() -> None:
    code, out, err = run(BOREWORTH_PORT="s3cret", BOREWORTH_LOGIN="never", BOREWORTH_SESSION_HOURS="nan")
    assert (code, out) == (2, "")
    assert [line.partition(":")[0] for line in err.splitlines()] == [
        "BOREWORTH_PORT", "BOREWORTH_LOGIN", "BOREWORTH_SESSION_HOURS",
    ]  # fmt: skip
    assert "s3cret" not in err


def test_a_variable_that_is_no_setting_is_told() -> None:
    code, _, err = run(BOREWORTH_PROT="1")
    assert code == 0
    assert err == "warning: BOREWORTH_PROT: no such setting; did you mean BOREWORTH_PORT?\n"
    assert unknown_variables({"BOREWORTH_PORT": "1", "OTHER": "2"}) == []


def test_what_is_given_by_name_goes_before_the_variable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BOREWORTH_PORT", "8123")
    assert Settings(port=9).port == 9
    assert [one.source for one in listed(Settings(), {"BOREWORTH_PORT": "8123"}) if one.name == "port"] == [
        "variable BOREWORTH_PORT"
    ]
