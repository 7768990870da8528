"""The web service."""

from typing import Any

from fastapi import FastAPI

from api.describe import components
from api.describe_kept import components_kept
from api.guard import Guard
from api.problems import KINDS, answer_problem
from api.routes import books, choices, estimates, explanations, health, jobs, quotes
from api.store.engine import Store
from estimator.write import ENGINE

__all__ = ["Service", "create_app"]


class Service(FastAPI):
    """The service, which describes its documents itself."""

    def openapi(self) -> dict[str, Any]:
        """Return the description, once made."""
        if self.openapi_schema is None:
            said = super().openapi()
            said.setdefault("components", {}).setdefault("schemas", {}).update(components() | components_kept())
        return super().openapi()


def create_app(store: Store | None = None) -> Service:
    """Return the service, ready to be run; without a database it keeps nothing and says so."""
    name, version = ENGINE.split()
    app = Service(
        title=name,
        version=version,
        summary="Prices the repair of worn bores by welding and boring on site.",
        docs_url=None,  # its page would fetch scripts from elsewhere
        redoc_url=None,
        redirect_slashes=False,
    )
    for kind in KINDS:
        app.add_exception_handler(kind, answer_problem)
    app.state.store = store
    for room in (estimates, explanations, choices, jobs, quotes, books, health):
        app.include_router(room.router)
    app.add_middleware(Guard)
    return app
