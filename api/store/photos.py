"""Photos of a job: kept, shown, ticked for the letter, removed."""

from typing import NamedTuple

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who, note
from api.store.clock import now
from api.store.errors import MissingError, StateError
from api.store.jobs import lock_job
from api.store.models import Photo

__all__ = ["MOST", "Listed", "add_photo", "find_photo", "in_letter", "list_photos", "remove_photo", "tick_photo"]

MOST = 40  # of a job
MOST_IN_LETTER = 6


class Listed(NamedTuple):
    """A photo as a page lists it."""

    id: int
    words: str
    width: int
    height: int
    in_letter: int


def add_photo(session: Session, who: Who, job: int, words: str, made: tuple[bytes, int, int]) -> int:
    """Keep a photo of a job, as it was written anew with its width and height; return its number."""
    lock_job(session, job)
    if session.exec(select(sa.func.count()).where(Photo.job_id == job)).one() >= MOST:
        raise StateError(f"job {job} has {MOST} photos, which is the most; remove one first")
    data, width, height = made
    photo = Photo(job_id=job, words=words, width=width, height=height, data=data, created_at=now(), created_by=who.name)
    session.add(photo)
    session.flush()
    assert photo.id is not None  # the database has counted it
    note(session, who, "photo kept", f"job {job}", photo=photo.id)
    return photo.id


def list_photos(session: Session, job: int) -> list[Listed]:
    """Return the photos of a job, oldest first, without their pictures."""
    columns = (Photo.id, Photo.words, Photo.width, Photo.height, Photo.in_letter)
    query = sa.select(*map(col, columns)).where(col(Photo.job_id) == job).order_by(col(Photo.id))
    return [Listed(*row) for row in session.execute(query)]


def find_photo(session: Session, job: int, number: int) -> Photo:
    """Return a photo of a job; raise `MissingError` where there is none."""
    found = session.exec(select(Photo).where(Photo.id == number, Photo.job_id == job)).one_or_none()
    if found is None:
        raise MissingError(f"job {job} has no photo {number}")
    return found


def tick_photo(session: Session, who: Who, job: int, number: int) -> None:
    """Let a photo go into the letter, or not any more; raise `StateError` where the letter has as many as it takes."""
    lock_job(session, job)
    photo = find_photo(session, job, number)
    if not photo.in_letter and len(in_letter(session, job)) >= MOST_IN_LETTER:
        raise StateError(f"the letter takes {MOST_IN_LETTER} photos; take another out of it first")
    photo.in_letter = 0 if photo.in_letter else 1
    session.add(photo)
    note(session, who, "photo ticked", f"job {job}", photo=number, in_letter=photo.in_letter)


def in_letter(session: Session, job: int) -> list[tuple[str, bytes]]:
    """Return the words and pictures of the photos that a job's letter shows."""
    query = select(Photo.words, Photo.data).where(Photo.job_id == job, Photo.in_letter == 1)
    return [(words, data) for words, data in session.exec(query.order_by(col(Photo.id)))]


def remove_photo(session: Session, who: Who, job: int, number: int) -> None:
    """Remove a photo of a job."""
    lock_job(session, job)
    session.delete(find_photo(session, job, number))
    note(session, who, "photo removed", f"job {job}", photo=number)
