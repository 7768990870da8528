"""Settings of the service, from `BOREWORTH_` variables, and where each one came from."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict

from api.store.address import DEFAULT, masked
from api.work.pool import cores
from estimator.errors import nearest

__all__ = ["PREFIX", "Setting", "Settings", "listed", "unknown_variables"]

PREFIX = "BOREWORTH_"


class Settings(BaseSettings):
    """What can be set; each is the variable `BOREWORTH_` with its name in capitals."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, env_ignore_empty=True, frozen=True, hide_input_in_errors=True)

    host: Annotated[str, Field(description="address to listen on")] = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65535, description="port to listen on; 0 takes a free one")] = 8000
    database: Annotated[str, Field(description="where jobs and quotes are kept")] = DEFAULT
    login: Annotated[
        Literal["remote", "always"],
        Field(description="who needs a token: requests from elsewhere, or all, as behind a reverse proxy"),
    ] = "remote"
    rate_limit: Annotated[
        int, Field(ge=1, le=1_000_000, description="requests a minute that one caller from elsewhere may make")
    ] = 1200
    session_hours: Annotated[
        float, Field(gt=0, le=720, allow_inf_nan=False, description="hours until a sign-in by page ends")
    ] = 12.0
    device_hours: Annotated[
        float, Field(gt=0, le=720, allow_inf_nan=False, description="hours that a device of the field stays signed in")
    ] = 720.0
    workers: Annotated[
        int, Field(ge=0, le=64, description="processes that compute; 0 computes in the server itself, without bounds")
    ] = Field(default_factory=cores)
    work_deadline: Annotated[
        float, Field(gt=0, le=3600, allow_inf_nan=False, description="seconds that forty bores may take to compute")
    ] = 60.0
    work_queue: Annotated[
        int, Field(ge=0, le=100_000, description="bores that may wait to be computed, half of them of one caller")
    ] = 1000
    work_memory: Annotated[
        int, Field(ge=256, le=65536, description="megabytes of memory that each process that computes may take")
    ] = 1536
    log_level: Annotated[
        Literal["debug", "info", "warning", "error"], Field(description="what is written to standard error")
    ] = "info"


@dataclass(frozen=True)
class Setting:
    """One setting as people read it: secrets are masked."""

    name: str
    value: str
    source: str
    meaning: str


def listed(settings: Settings, environment: Mapping[str, str] = os.environ) -> list[Setting]:
    """Return every setting with where it came from."""
    given = {name.upper() for name, value in environment.items() if value}
    found = []
    for name, field in Settings.model_fields.items():
        variable, value = PREFIX + name.upper(), getattr(settings, name)
        source = f"variable {variable}" if variable in given else "default"
        found.append(Setting(name, masked(str(value)), source, field.description or ""))
    return found


def unknown_variables(environment: Mapping[str, str] = os.environ) -> list[str]:
    """Return a line for each variable that looks like a setting and is none."""
    known = [PREFIX + name.upper() for name in Settings.model_fields]
    odd = sorted(name for name in environment if name.upper().startswith(PREFIX) and name.upper() not in known)
    lines = []
    for name in odd:
        near = nearest(name.upper(), known, 1)
        lines.append(
            f"{name}: no such setting; " + (f"did you mean {near[0]}?" if near else f"known: {', '.join(known)}")
        )
    return lines
