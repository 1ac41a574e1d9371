"""The door before the page: host names, origins, keys and sizes, asked without a network."""

import asyncio
from typing import Any

import pytest

pytest.importorskip("nicegui")

from trialfit.web.serving import (
    LARGEST_BODY_BYTES,
    LARGEST_PHOTO_BYTES,
    SESSION_COOKIE,
    Door,
    is_loopback,
    keep_photo,
    photo_kind,
    serve,
)

HTTP = "http:" + "//"
OWN = "http://127.0.0.1:8080"
ELSEWHERE = HTTP + "somewhere.example"
PHONES = HTTP + "192.168.1.7:8080"
JPEG = b"\xff\xd8\xff\xe0" + b"invented" * 20


class Behind:
    """Stands for the page: says what came through."""

    def __init__(self) -> None:
        self.seen: list[str] = []
        self.read = 0
        self.cut = False

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        self.seen.append(scope["path"])
        if scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.accept"})
            return
        more = True
        while more:
            message = await receive()
            if message["type"] == "http.disconnect":
                self.cut = True
                return
            self.read += len(message.get("body", b""))
            more = message.get("more_body", False)
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"behind"})


def ask(door: Door, path: str = "/", *, method: str = "GET", host: str = "127.0.0.1:8080", origin: str | None = None,
        cookie: str = "", query: str = "", body: list[bytes] | None = None, length: int | None = None,
        socket: bool = False) -> tuple[int, dict[str, str], bytes]:
    heads = [(b"host", host.encode())]
    if origin is not None:
        heads.append((b"origin", origin.encode()))
    if cookie:
        heads.append((b"cookie", cookie.encode()))
    if length is not None:
        heads.append((b"content-length", str(length).encode()))
    scope = {"type": "websocket" if socket else "http", "path": path, "method": method, "headers": heads,
             "query_string": query.encode()}
    parts = list(body or [b""])
    sent: list[Any] = []

    async def receive() -> dict[str, Any]:
        if socket:
            return {"type": "websocket.connect"}
        return {"type": "http.request", "body": parts.pop(0), "more_body": bool(parts)}

    async def send(message: Any) -> None:
        sent.append(message)

    asyncio.run(door(scope, receive, send))
    if socket:
        return (101 if sent[0]["type"] == "websocket.accept" else 403), {}, b""
    if not sent:
        return 0, {}, b""
    return sent[0]["status"], {k.decode(): v.decode() for k, v in sent[0]["headers"]}, sent[1]["body"]


@pytest.fixture
def behind() -> Behind:
    return Behind()


@pytest.fixture
def door(behind) -> Door:
    return Door(behind, "127.0.0.1", False)


@pytest.mark.parametrize("host", ["127.0.0.1:8080", "localhost:8080", "[::1]:8080"])
def test_this_machine_may_come_in(door, host):
    assert ask(door, host=host)[0] == 200


@pytest.mark.parametrize("host", ["somewhere.example", "127.0.0.1.somewhere.example", "192.168.1.7:8080", "", "[::1"])
def test_another_name_for_this_machine_is_turned_away(door, behind, host):
    assert ask(door, host=host)[0] == 421
    assert ask(door, "/_nicegui_ws/socket.io/", host=host, origin=HTTP + host, socket=True)[0] == 403
    assert behind.seen == []




def test_the_socket_asks_for_its_own_origin(door, behind):
    at = "/_nicegui_ws/socket.io/"
    assert ask(door, at, socket=True, origin=OWN)[0] == 101
    for other in (ELSEWHERE, "null", "http://127.0.0.1:9999", "http://127.0.0.1:8080.example", None):
        assert ask(door, at, socket=True, origin=other)[0] == 403
    # and the same where the socket goes by ordinary requests
    assert ask(door, at, origin=ELSEWHERE)[0] == 403
    assert behind.seen == [at]


def test_what_changes_something_asks_for_its_own_origin(door, behind):
    assert ask(door, "/readings", method="POST", origin=OWN)[0] == 200
    assert ask(door, "/readings", method="POST", origin=ELSEWHERE)[0] == 403
    assert behind.seen == ["/readings"]


def test_other_machines_need_the_key_and_each_key_is_good_for_one_browser(behind):
    told: list[str] = []
    door = Door(behind, "0.0.0.0", True, told.append)
    key = door.key
    for path, query in (("/", ""), ("/", "key="), ("/", "key=wrong"), ("/photos/x", f"key={key}"), ("/readings", "")):
        assert ask(door, path, host="192.168.1.7:8080", query=query)[0] == 403
    assert ask(door, "/s", host="192.168.1.7:8080", origin=PHONES, socket=True)[0] == 403
    assert behind.seen == []
    status, heads, _ = ask(door, host="192.168.1.7:8080", query=f"key={key}")
    assert status == 303
    cookie = heads["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    own = cookie.split(";")[0]
    assert ask(door, host="192.168.1.7:8080", cookie=own)[0] == 200
    assert ask(door, "/s", host="192.168.1.7:8080", cookie=own, origin=PHONES, socket=True)[0] == 101
    # used up
    assert ask(door, host="192.168.1.7:8080", query=f"key={key}")[0] == 403
    assert ask(door, host="192.168.1.7:8080", cookie=f"{SESSION_COOKIE}={key}")[0] == 403
    assert told == [key, door.key]
    assert door.key != key
    assert ask(door, host="192.168.1.7:8080", query=f"key={door.key}")[0] == 303


def test_names_are_turned_away_on_an_open_address_too(behind):
    door = Door(behind, "0.0.0.0", True)
    assert ask(door, host="somewhere.example", query=f"key={door.key}")[0] == 421


def test_a_key_cannot_be_left_out_on_an_open_address(tmp_path):
    with pytest.raises(ValueError, match="without a key"):
        serve(tmp_path / "build.yaml", host="0.0.0.0", key=False, open_browser=False)


@pytest.mark.parametrize("host, alone", [("127.0.0.1", True), ("localhost", True), ("::1", True), ("127.9.9.9", True),
                                         ("0.0.0.0", False), ("::", False), ("192.168.1.7", False), ("x", False)])
def test_which_addresses_are_this_machine_alone(host, alone):
    assert is_loopback(host) is alone


def test_bodies_are_bounded_by_what_they_say_and_by_what_they_are(door, behind):
    assert ask(door, "/readings", method="POST", length=LARGEST_BODY_BYTES + 1)[0] == 413
    assert ask(door, "/photos/x", method="POST", length=LARGEST_PHOTO_BYTES + 1)[0] == 413
    assert behind.seen == []
    lump = b"x" * 10_000
    assert ask(door, "/readings", method="POST", body=[lump] * 20)[0] == 0
    assert behind.cut
    assert behind.read <= LARGEST_BODY_BYTES


def test_every_answer_says_what_may_be_loaded(door):
    heads = ask(door)[1]
    assert "default-src 'self'" in heads["content-security-policy"]
    assert heads["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("data, kind", [
    (JPEG, "jpg"), (b"\x89PNG\r\n\x1a\n....", "png"), (b"RIFF....WEBPVP8 ", "webp"), (b"<svg onload=alert(1)>", ""),
    (b"PK\x03\x04", ""), (b"#!/bin/sh", ""), (b"GIF89a", ""), (b"", ""), (b"RIFF....AVI ", "")])
def test_a_photo_is_known_by_its_content(data, kind):
    assert photo_kind(data) == kind


def test_a_photo_is_kept_beside_the_build_under_a_name_of_ours(tmp_path):
    name = keep_photo(tmp_path, "aaaa0001", JPEG)
    assert (tmp_path / "photos" / name).read_bytes() == JPEG
    assert keep_photo(tmp_path, "aaaa0001", JPEG) == name
    assert [p.name for p in (tmp_path / "photos").iterdir()] == [name]


def test_a_folder_of_photos_that_leads_elsewhere_is_not_written_to(tmp_path):
    from fastapi import HTTPException

    build, other = tmp_path / "build", tmp_path / "other"
    build.mkdir()
    other.mkdir()
    (build / "photos").symlink_to(other)
    with pytest.raises(HTTPException, match="leads out"):
        keep_photo(build, "aaaa0001", JPEG)
    assert list(other.iterdir()) == []
