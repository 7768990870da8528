"""Our own scripts, small modules served as they are; who has seen one is asked for it by its hash."""

import hashlib
from pathlib import Path

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
ROOM = Path(__file__).parent / "static"
KIND = "text/javascript; charset=utf-8"
KEPT = {file.name: file.read_bytes() for file in sorted(ROOM.glob("*.js"))}
TAGS = {name: f'"{hashlib.sha256(text).hexdigest()[:32]}"' for name, text in KEPT.items()}


@router.get("/static/{name}")
async def static(request: Request, name: str) -> Response:
    """Return a script of ours; nothing where the browser has it still."""
    if name not in KEPT:
        raise HTTPException(404)
    said = {"ETag": TAGS[name], "Cache-Control": "no-cache", "X-Content-Type-Options": "nosniff"}
    if request.headers.get("if-none-match") == TAGS[name]:
        return Response(status_code=304, headers=said)
    return Response(KEPT[name], headers=said, media_type=KIND)
