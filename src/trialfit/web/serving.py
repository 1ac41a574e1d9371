"""The server of the page: who may come in, what may be sent, and what is given out."""

import contextlib
import hashlib
import ipaddress
import os
import re
import secrets
import tempfile
import threading
import webbrowser
from collections.abc import Awaitable, Callable, MutableMapping
from datetime import date
from http.cookies import SimpleCookie
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import parse_qs, urlsplit

import uvicorn
from fastapi import Body, FastAPI, HTTPException, Request, Response
from nicegui import Client, ui
from pydantic import BaseModel, ConfigDict, Field

from trialfit.web.desk import Desk
from trialfit.web.page import open_tab
from trialfit.web.working import Worked

SESSION_COOKIE = "trialfit-key"
LARGEST_PHOTO_BYTES = 12_000_000
"""Largest photo taken [bytes]."""
LARGEST_BODY_BYTES = 64_000
"""Largest body of anything else [bytes]."""
LARGEST_MESSAGE_BYTES = 2_000_000
"""Largest message over the socket [bytes]."""
MOST_PHOTOS = 500
RESUME_S = 3600.0
"""How long a tab that lost its link is waited for [s]."""
MOST_GONE = 12
"""Tabs that lost their link and are waited for, at most: each holds some MB."""
_PHOTO = re.compile(r"[a-z0-9]{8,32}-[0-9a-f]{12}\.(?:jpg|png|webp)")
_FACE = re.compile(r"[A-Za-z0-9_]{1,60}\.ttf")
_ASSET = re.compile(r"[a-z_-]{1,40}\.(?:css|js)")
_SHEET = re.compile(r"[A-Za-z0-9_. ()-]{1,120}\.(?:pdf|svg|txt|dxf)")
_KINDS = {"css": "text/css; charset=utf-8", "js": "text/javascript; charset=utf-8", "jpg": "image/jpeg",
          "png": "image/png", "webp": "image/webp", "pdf": "application/pdf", "svg": "image/svg+xml",
          "txt": "text/plain; charset=utf-8", "dxf": "application/dxf"}  # fmt: skip
_POLICY = "; ".join((
    "default-src 'self'", "script-src 'self' 'unsafe-inline' 'unsafe-eval' blob:", "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:", "font-src 'self' data:", "connect-src 'self' data: blob:",
    "worker-src 'self' blob:", "object-src 'none'", "base-uri 'none'", "form-action 'self'",
    "frame-ancestors 'none'"))  # fmt: skip
"""What a browser may load and run; no other host is among it."""

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]


class Door:
    """Stands before everything the server gives out.

    Asks of every request: a host name that is this server's own (so that no other site can be made to point here), for
    the socket and for everything that changes something an origin that is this server's own, and, when the page is
    open to other machines, a key. The key is good for one browser: the first that brings it is given a cookie, and the
    next browser needs the next key. Bodies are cut off at their limit.

    Parameters
    ----------
    app : ASGI application
        what stands behind the door
    host : str
        address that the server listens on
    keyed : bool
        whether a key is asked for
    next_key : callable
        told the next key, when one has been used or at the start
    """

    def __init__(self, app: App, host: str, keyed: bool, next_key: Callable[[str], None] = lambda _key: None) -> None:
        self.app = app
        self._host = host
        self._keyed = keyed
        self._told = next_key
        self._lock = threading.Lock()
        self._sessions: set[str] = set()
        self.key = ""
        if keyed:
            self._new_key()

    def _new_key(self) -> None:
        self.key = secrets.token_urlsafe(12)
        self._told(self.key)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        heads = {k.decode("latin-1").lower(): v.decode("latin-1") for k, v in scope["headers"]}
        reason = self._refusal(scope, heads)
        if reason is None and self._keyed and not self._known(heads):
            if scope["type"] == "http" and scope["path"] == "/" and await self._let_in(scope, send):
                return
            reason = (403, "A key is needed: open the address that trialfit printed, with its key.")
        if reason is not None:
            await _refuse(scope, receive, send, *reason)
            return
        if scope["type"] == "http":
            limit = LARGEST_PHOTO_BYTES if scope["path"].startswith("/photos/") else LARGEST_BODY_BYTES
            if int(heads.get("content-length", "0") if heads.get("content-length", "0").isdigit() else "0") > limit:
                await _refuse(scope, receive, send, 413, f"Too much: at most {limit} bytes are taken here.")
                return
            await self.app(scope, _bounded(receive, limit), _with_heads(send))
            return
        await self.app(scope, receive, send)

    def _refusal(self, scope: Scope, heads: MutableMapping[str, str]) -> tuple[int, str] | None:
        host = heads.get("host", "")
        if not self._own(host):
            return 421, "This server does not go by that name."
        changes = scope["type"] == "websocket" or scope.get("method") not in ("GET", "HEAD", "OPTIONS")
        socket = scope["path"].startswith("/_nicegui_ws")
        origin = heads.get("origin")
        if origin is None:
            if scope["type"] == "websocket":
                return 403, "No origin was named."
            return None
        same = urlsplit(origin).netloc == host
        if (changes or socket) and not same:
            return 403, "Another site asked for this; only the page itself may."
        return None

    def _own(self, host: str) -> bool:
        try:
            name = urlsplit(f"//{host}").hostname
        except ValueError:
            return False
        if name is None:
            return False
        if name == "localhost" or name == self._host:
            return True
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            return False
        return address.is_loopback if is_loopback(self._host) else True

    def _known(self, heads: MutableMapping[str, str]) -> bool:
        jar = SimpleCookie()
        with contextlib.suppress(Exception):
            jar.load(heads.get("cookie", ""))
        got = jar.get(SESSION_COOKIE)
        if got is None:
            return False
        with self._lock:
            return any(secrets.compare_digest(got.value.encode(), one.encode()) for one in self._sessions)

    async def _let_in(self, scope: Scope, send: Send) -> bool:
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("key", [""])[0]
        with self._lock:
            if not given or not secrets.compare_digest(given.encode("utf-8", "replace"), self.key.encode()):
                return False
            session = secrets.token_urlsafe(24)
            self._sessions.add(session)
            self._new_key()
        cookie = f"{SESSION_COOKIE}={session}; Path=/; HttpOnly; SameSite=Strict; Max-Age=2592000"
        await send({"type": "http.response.start", "status": 303, "headers": [
            (b"location", b"/"), (b"set-cookie", cookie.encode()), (b"content-length", b"0"),
            (b"cache-control", b"no-store"), (b"referrer-policy", b"no-referrer")]})
        await send({"type": "http.response.body", "body": b""})
        return True


class _TooMuch(Exception):
    """More was sent than is taken."""


def _bounded(receive: Receive, limit: int) -> Receive:
    count = 0

    async def read() -> MutableMapping[str, Any]:
        nonlocal count
        message = await receive()
        count += len(message.get("body", b"") or b"")
        if count > limit:
            # what was sent so far is of no use: as if the sender had hung up
            return {"type": "http.disconnect"}
        return message

    return read


def _with_heads(send: Send) -> Send:
    async def put(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            there = {k.lower() for k, _ in message["headers"]}
            own = [(b"content-security-policy", _POLICY.encode()), (b"x-content-type-options", b"nosniff"),
                   (b"referrer-policy", b"no-referrer"), (b"cross-origin-opener-policy", b"same-origin"),
                   (b"cross-origin-resource-policy", b"same-origin")]
            message["headers"] = [*message["headers"], *((k, v) for k, v in own if k not in there)]
        await send(message)

    return put


async def _refuse(scope: Scope, receive: Receive, send: Send, status: int, words: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008})
        return
    body = words.encode()
    await send({"type": "http.response.start", "status": status, "headers": [
        (b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode()),
        (b"x-content-type-options", b"nosniff"), (b"cache-control", b"no-store")]})
    await send({"type": "http.response.body", "body": body if scope.get("method") != "HEAD" else b""})


def is_loopback(host: str) -> bool:
    """Whether an address is reached from this machine alone.

    >>> is_loopback("127.0.0.1"), is_loopback("0.0.0.0")
    (True, False)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


class ReadingSent(BaseModel):
    """One reading from the pad."""

    model_config = ConfigDict(extra="forbid", strict=True)
    build: Annotated[str, Field(pattern=r"^[0-9a-f]{12}$")]
    """which build it was read for"""
    ident: Annotated[str, Field(pattern=r"^[a-z0-9]{8,32}$")]
    line: Annotated[str, Field(min_length=1, max_length=400)]
    instead_of: Annotated[str, Field(max_length=200)] = ""


class ReadingKept(BaseModel):
    """What became of it: it counts, or why it does not."""

    ident: str
    counted: bool
    reason: str = ""
    again: bool = False


class PhotoKept(BaseModel):
    """Where a photo was kept, in the folder ``photos`` beside the build file."""

    name: str


def build_mark(path: Path) -> str:
    """A mark for a build file, so that a reading kept on a phone goes to no other build."""
    return hashlib.sha256(str(path.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:12]


def app_of(desk: Desk, *, docs: bool = False) -> FastAPI:
    """Everything the server gives out, without the door before it.

    Parameters
    ----------
    docs : bool
        whether the list of routes is given out too; for tests
    """
    app = FastAPI(title="Trialfit", docs_url=None, redoc_url=None, openapi_url="/openapi.json" if docs else None)
    mine = build_mark(desk.path)

    @app.post("/readings", responses={409: {"description": "read for another build"}})
    def reading(sent: ReadingSent) -> ReadingKept:
        if sent.build != mine:
            raise HTTPException(409, "This reading was written down for another build file. It stays on the phone.")
        answer = desk.add_reading(sent.line, sent.ident, sent.instead_of)
        return ReadingKept(ident=answer.ident, counted=answer.counted, reason=answer.reason, again=answer.again)

    @app.post("/photos/{ident}", responses={415: {"description": "no photo"}, 413: {"description": "too large"},
                                            507: {"description": "no room"}, 422: {"description": "no such mark"}})
    def photo(ident: str, data: Annotated[bytes, Body(media_type="application/octet-stream")]) -> PhotoKept:
        if not re.fullmatch(r"[a-z0-9]{8,32}", ident):
            raise HTTPException(422, "A photo goes with a reading: its mark is 8 to 32 small letters and digits.")
        return PhotoKept(name=keep_photo(desk.folder, ident, data))

    @app.get("/photos/{name}", responses={404: {"description": "no such photo"}})
    def kept_photo(name: str) -> Response:
        path = desk.folder / "photos" / name
        if not _PHOTO.fullmatch(name) or not _inside(path, desk.folder) or not path.is_file():
            raise HTTPException(404, "There is no such photo.")
        return _given(path.read_bytes(), name)

    @app.get("/sheets/{name}", responses={404: {"description": "no such sheet"}})
    def sheet(name: str) -> Response:
        data = next((d for n, _, d in paper(desk) if n == name), None) if _SHEET.fullmatch(name) else None
        if data is None:
            raise HTTPException(404, "There is no such sheet, or it is still being worked out.")
        return _given(data, name)

    @app.get("/faces/{name}", responses={404: {"description": "no such face"}})
    def face(name: str) -> Response:
        found = files("trialfit.sheets") / "fonts" / name
        if not _FACE.fullmatch(name) or not found.is_file():
            raise HTTPException(404, "There is no such face.")
        return Response(found.read_bytes(), media_type="font/ttf", headers={"Cache-Control": "max-age=86400"})

    @app.get("/assets/{name}", responses={404: {"description": "no such file"}})
    def asset(name: str) -> Response:
        found = files("trialfit.web") / "assets" / name
        if not _ASSET.fullmatch(name) or not found.is_file():
            raise HTTPException(404, "There is no such file.")
        return _given(found.read_bytes(), name)

    async def tab(request: Request, place: str = "Next", bay: str = "", thing: str = "") -> None:
        _let_go_of_old_tabs()
        ui.add_head_html(
            f'<link rel="stylesheet" href="/assets/page.css"><script>window.trialfitBuild="{mine}"</script>'
            '<script src="/assets/pad.js" defer></script><meta name="theme-color" content="#15130F">')
        at = int(bay) if bay.isascii() and bay.isdigit() and len(bay) < 3 else None
        await open_tab(desk, request, place[:20], at, thing[:200])

    ui.page("/", title=f"{desk.build.name if desk.build and desk.build.name else desk.path.stem}: Trialfit",
            response_timeout=60.0)(tab)
    icon = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 28 26"><rect width="28" height="26" fill="#15130F"/>'
            '<path d="M3 5h7v16H3zM18 5h7v16h-7z" fill="#FFD12B"/></svg>')  # fmt: skip
    ui.run_with(app, title="Trialfit", favicon=icon, tailwind=False, show_welcome_message=False,
                reconnect_timeout=RESUME_S, gzip_middleware_factory=None, language="en-GB")
    return app


_PAPER_LOCK = threading.Lock()
_PAPER: dict[str, tuple[Worked, list[tuple[str, str, bytes]]]] = {}


def paper(desk: Desk) -> list[tuple[str, str, bytes]]:
    """Every sheet of the build as it stands: file name, what it is, bytes; none while it is being worked out."""
    from trialfit.sheets.whole import build_paper

    worked = desk.worked
    if worked is None:
        return []
    with _PAPER_LOCK:
        known = _PAPER.get(str(desk.path))
        if known is None or known[0] is not worked:  # one text is answered twice, the second time with hangers
            today = date.today()
            sheets = build_paper(worked.results, worked.weighed, worked.findings, worked.results.build.settings.paper,
                                 f"{today.day} {today:%b %Y}")
            known = (worked, sheets)
            _PAPER[str(desk.path)] = known
        return known[1]


def _let_go_of_old_tabs() -> None:
    """Forget the oldest of the tabs that lost their link, beyond those that are waited for."""
    # the library has no public word for a client whose end is planned; the pinned version is the one that is tested
    gone = sorted((c for c in Client.instances.values() if c._delete_tasks and not c.has_socket_connection),
                  key=lambda c: c.created)
    for client in gone[:-MOST_GONE]:
        for document in list(client._delete_tasks):
            client._cancel_delete_task(document)
        client.delete()


def photo_kind(data: bytes) -> str:
    """Ending for a photo by its content; "" when it is none that is taken.

    >>> photo_kind(bytes.fromhex("ffd8ffe0")), photo_kind(b"<svg")
    ('jpg', '')
    """
    if data.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    return ""


def keep_photo(folder: Path, ident: str, data: bytes) -> str:
    """Put a photo beside the build, under a name of our own; it is kept as bytes and never opened.

    Raises
    ------
    HTTPException
        when it is too large, no photo by its content, or there are too many
    """
    if len(data) > LARGEST_PHOTO_BYTES:
        raise HTTPException(413, f"The photo is too large: at most {LARGEST_PHOTO_BYTES // 1_000_000} MB are taken.")
    kind = photo_kind(data)
    if not kind:
        raise HTTPException(415, "This is no photo: JPEG, PNG or WebP is taken.")
    place = folder / "photos"
    if not _inside(place, folder):
        raise HTTPException(507, "The folder photos leads out of the build's folder: nothing is written there.")
    name = f"{ident}-{hashlib.sha256(data).hexdigest()[:12]}.{kind}"
    try:
        place.mkdir(exist_ok=True)
        if (place / name).exists():
            return name
        if sum(1 for _ in place.iterdir()) >= MOST_PHOTOS:
            raise HTTPException(507, f"There are {MOST_PHOTOS} photos already: take some out of the folder photos.")
        handle, made = tempfile.mkstemp(dir=place, prefix=".new-")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.replace(made, place / name)
    except OSError as error:
        raise HTTPException(507, f"The photo cannot be written: {error.strerror}.") from error
    return name


def _inside(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _given(data: bytes, name: str) -> Response:
    kind = _KINDS[name.rsplit(".", 1)[-1]]
    heads = {"Cache-Control": "no-store" if kind == "application/pdf" else "no-cache"}
    if kind == "application/pdf":
        # a browser's own viewer is no page of ours
        heads["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'"
    if name.endswith(".svg"):
        heads["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    return Response(data, media_type=kind, headers=heads)


def serve(path: Path, host: str = "127.0.0.1", port: int = 8080, open_browser: bool = True, key: bool | None = None,
          say: Callable[[str], None] = print) -> None:  # fmt: skip
    """Serve the page of one build until it is stopped.

    Parameters
    ----------
    path : path
        the build file
    host : str
        address to listen on; on any that other machines reach a key is asked for
    port : int
        port to listen on [-]
    open_browser : bool
        whether to open the browser of this machine
    key : bool or None
        whether to ask for a key; None asks when other machines can reach the page. It cannot be left out there
    say : callable
        told what to show to the person at the terminal

    Raises
    ------
    ValueError
        when the key is to be left out on an address that other machines reach
    """
    keyed = not is_loopback(host) if key is None else key
    if not keyed and not is_loopback(host):
        raise ValueError(f"{host} can be reached from other machines: the page is not opened there without a key")
    desk = Desk(path)
    shown = host if host not in ("0.0.0.0", "::") else "THIS-MACHINE"
    address = "".join(("http:", "//", f"[{shown}]" if ":" in shown else shown, f":{port}/"))

    def next_key(one: str) -> None:
        say(f"For one browser, once: {address}?key={one}")

    door = Door(app_of(desk), host, keyed, next_key)
    if not keyed:
        say(f"The page of {path.name}: {address}")
    if open_browser:
        threading.Timer(1.0, webbrowser.open, (f"{address}{f'?key={door.key}' if keyed else ''}",)).start()
    config = uvicorn.Config(door, host=host, port=port, log_level="warning", ws_max_size=LARGEST_MESSAGE_BYTES,
                            h11_max_incomplete_event_size=32_768, timeout_keep_alive=30,
                            timeout_graceful_shutdown=2, server_header=False)
    try:
        uvicorn.Server(config).run()
    finally:
        desk.close()
