"""Customers and machines as they are known from earlier jobs."""

import json
from typing import Any

from sqlmodel import Session, col, select

from api.store.engine import Store
from api.store.models import Customer, Equipment, Job, JobRevision

__all__ = ["customers_like", "filled_in", "machines_of"]

MOST = 12
LONGEST = 100


def customers_like(store: Store, words: str) -> list[str]:
    """Return the names of customers that hold some words, the newest first."""
    query = select(Customer.name).order_by(col(Customer.id).desc()).limit(MOST)
    for word in _words(words):
        query = query.where(col(Customer.name).icontains(word, autoescape=True))
    with store.reading() as db:
        return list(db.exec(query))


def machines_of(store: Store, customer: str) -> list[str]:
    """Return the machines of a customer, the newest first."""
    query = select(Equipment.description).join(Customer, col(Customer.id) == col(Equipment.customer_id))
    query = query.where(Customer.name == " ".join(_words(customer))).order_by(col(Equipment.id).desc()).limit(MOST)
    with store.reading() as db:
        return list(db.exec(query))


def _words(text: str) -> list[str]:
    return "".join(sign for sign in text[:LONGEST] if sign.isprintable()).split()


def filled_in(session: Session, document: dict[str, Any]) -> dict[str, Any]:
    """Return a new job with what is known of its customer from the newest job; what was typed stays."""
    customer = document.get("customer") or {}
    if not customer.get("name"):
        return document
    query = (
        select(JobRevision.document)
        .join(Job, (col(Job.id) == col(JobRevision.job_id)) & (col(Job.revision) == col(JobRevision.revision)))
        .join(Customer, col(Customer.id) == col(Job.customer_id))
        .where(Customer.name == customer["name"])
        .order_by(col(Job.id).desc())
        .limit(1)
    )
    text = session.exec(query).first()
    known = (json.loads(text).get("customer") or {}) if text else {}
    return document | {"customer": known | customer}
