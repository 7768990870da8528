"""What pages of the field are made of besides their text: scripts, style, icon, manifest, and what keeps them."""

import hashlib
import json
from pathlib import Path

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

__all__ = ["NAMES", "POLICY", "VERSION", "WORKER", "router"]

router = APIRouter(include_in_schema=False)
ROOM = Path(__file__).parents[1] / "static/field"
KINDS = {
    ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
    ".png": "image/png",
}  # fmt: skip
FILES = {file.name: file.read_bytes() for file in sorted(ROOM.iterdir()) if file.suffix in KINDS}
WORKER = FILES.pop("worker.js")
NAMES = tuple(FILES)
VERSION = hashlib.sha256(b"".join([WORKER, *FILES.values()])).hexdigest()[:16]
SCOPE = "/field"
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
KEPT = {"Cache-Control": "private, no-cache"}
INK, PAPER = "#10201a", "#ffffff"
MANIFEST = {
    "name": "Boreworth on site",
    "short_name": "Boreworth",
    "start_url": SCOPE,
    "scope": SCOPE,
    "display": "standalone",
    "theme_color": INK,
    "background_color": PAPER,
    "icons": [
        {"src": f"{SCOPE}/static/icon.svg", "sizes": "any", "type": "image/svg+xml"},
        {"src": f"{SCOPE}/static/icon-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": f"{SCOPE}/static/icon-512.png", "sizes": "512x512", "type": "image/png", "purpose": "any maskable"},
    ],
}


@router.get("/field/static/{name}")
async def static(request: Request, name: str) -> Response:
    """Return a script, style or icon of ours; nothing where the browser has it still."""
    if name not in FILES:
        raise HTTPException(404)
    said = {"ETag": f'"{VERSION}"', **KEPT}
    if request.headers.get("if-none-match") == said["ETag"]:
        return Response(status_code=304, headers=said)
    return Response(FILES[name], headers=said, media_type=KINDS[Path(name).suffix])


@router.get("/field/worker.js")
async def worker() -> Response:
    """Return what keeps the pages of the field without network, and nothing beyond them."""
    policy = "default-src 'none'; connect-src 'self'"
    said = {"Service-Worker-Allowed": SCOPE, "Content-Security-Policy": policy, **KEPT}
    return Response(WORKER, headers=said, media_type=KINDS[".js"])


@router.get("/field/app.webmanifest")
async def manifest() -> Response:
    """Return what a phone needs to know to install the pages."""
    return Response(json.dumps(MANIFEST), headers=KEPT, media_type="application/manifest+json")
