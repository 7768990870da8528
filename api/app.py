"""The web service."""

from typing import Any

from fastapi import FastAPI

from api.access.gate import Gate
from api.access.keys import Keys, NoKeys
from api.access.metrics import Metrics
from api.access.rate import Tries
from api.access.watch import Watch
from api.describe.answers import components
from api.describe.diary import components_of_diary
from api.describe.found import components_of_found
from api.describe.kept import components_kept
from api.guard import Guard
from api.packed import Packed
from api.pages import diary as diary_page
from api.pages import doors, rooms, statics
from api.pages.desk import bills as bill_forms
from api.pages.desk import book, bore, call, life, photos, reasons
from api.pages.field import assets
from api.pages.field import rooms as field_rooms
from api.problems import KINDS, answer_problem
from api.routes import (
    actuals,
    audit,
    bills,
    books,
    calibrations,
    choices,
    diary,
    estimates,
    explanations,
    found,
    health,
    intake,
    jobs,
    letters,
    metrics,
    packs,
    quotes,
    variations,
    workbooks,
)
from api.settings import Settings
from api.store.engine import Store
from api.work.here import Here, Work
from estimator import ENGINE

__all__ = ["Service", "create_app"]


class Service(FastAPI):
    """The service, which describes its documents itself."""

    def openapi(self) -> dict[str, Any]:
        """Return the description, once made."""
        if self.openapi_schema is None:
            said = super().openapi()
            said.setdefault("components", {}).setdefault("schemas", {}).update(
                components() | components_kept() | components_of_diary() | components_of_found()
            )
        return super().openapi()


def create_app(settings: Settings | None = None, store: Store | None = None, work: Work | None = None) -> Service:
    """Return the service, ready to be run.

    Without a store nobody from elsewhere can come in; without a pool it computes in this process, without bounds.
    """
    name, version = ENGINE.split()
    app = Service(
        title=name,
        version=version,
        summary="Prices the repair of worn bores by welding and boring on site.",
        docs_url=None,  # its page would fetch scripts from elsewhere
        redoc_url=None,
        redirect_slashes=False,
    )
    app.state.settings = settings or Settings()
    app.state.store = store
    app.state.work = work or Here()
    app.state.keys = NoKeys() if store is None else Keys(store)
    app.state.metrics = Metrics(version)
    app.state.metrics.follow(app.state.work)
    app.state.tries = Tries()
    for kind in KINDS:
        app.add_exception_handler(kind, answer_problem)
    stateless, kept = (
        (estimates, explanations, choices, intake),
        (jobs, letters, packs, workbooks, quotes, variations, bills, actuals, calibrations, books, audit, diary, found),
    )
    for room in (*stateless, *kept, health, metrics):
        app.include_router(room.router)
    desk = (bill_forms, call, life, bore, reasons, book, photos)
    for pages in (doors, rooms, statics, *desk, diary_page, assets, field_rooms):
        app.include_router(pages.router)
    _surround(app)
    return app


def _surround(app: Service) -> None:
    """Put in front of the routes what every request passes, the last one named first."""
    said = app.state.settings
    app.add_middleware(Packed)
    app.add_middleware(Guard)
    app.add_middleware(
        Gate, keys=app.state.keys, login=said.login, per_minute=said.rate_limit, page=doors.sign_in_page,
        tries=app.state.tries,
    )  # fmt: skip
    app.add_middleware(Watch, metrics=app.state.metrics)
