"""Settings of the service, from `BOREWORTH_` variables."""

from typing import Annotated

from pydantic import Field, field_validator
from pydantic_settings import BaseSettings, SettingsConfigDict

__all__ = ["PREFIX", "Settings"]

PREFIX = "BOREWORTH_"


class Settings(BaseSettings):
    """Where the service listens: `BOREWORTH_HOST`, `BOREWORTH_PORT`; what is given by name goes first."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, env_ignore_empty=True, frozen=True)

    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65535)] = 8000
    database: str | None = None

    @field_validator("database")
    @classmethod
    def _later(cls, url: str | None) -> str | None:
        if url is not None:
            raise ValueError("not built yet; leave it out")
        return url
