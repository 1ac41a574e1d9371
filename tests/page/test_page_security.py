"""A running server asked for what it must not give, and sent what it must not take."""

import http.client
import json
import re
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("nicegui")
pytestmark = pytest.mark.slow

ELSEWHERE = "http:" + "//somewhere.example"
JPEG = b"\xff\xd8\xff\xe0" + b"invented" * 20
NASTY = """<img src=x onerror="document.title='taken over'">"""


def ask(served: Any, path: str, *, method: str = "GET", body: bytes | None = None, origin: bool = True, **heads: str
        ) -> tuple[int, bytes]:
    host = served.address.rpartition("/")[2]
    link = http.client.HTTPConnection(host, timeout=40)
    if method != "GET" and origin:
        heads["Origin"] = served.address
    link.putrequest(method, path, skip_accept_encoding=True)
    for name, value in heads.items():
        link.putheader(name.replace("_", "-"), value)
    if body is not None:
        link.putheader("Content-Length", str(len(body)))
    link.endheaders(body)
    answer = link.getresponse()
    return answer.status, answer.read()


def build_of(served: Any) -> str:
    return re.search(rb'trialfitBuild="([0-9a-f]{12})"', ask(served, "/")[1]).group(1).decode()


def send(served: Any, **sent: str) -> tuple[int, dict[str, Any]]:
    status, body = ask(served, "/readings", method="POST", body=json.dumps(sent).encode(),
                       Content_Type="application/json")
    return status, json.loads(body)


@pytest.mark.parametrize("path", [
    "/photos/..%2fbuild.yaml", "/photos/../build.yaml", "/photos/%2e%2e/build.yaml", "/photos/..%5cbuild.yaml",
    "/photos/%2fetc%2fpasswd", "/photos//etc/passwd", "/assets/..%2fpage.py", "/assets/../page.py", "/assets/pad.js%00",
    "/faces/..%2ffaces.py", "/faces/LICENSE_FONT_next", "/sheets/..%2fbuild.yaml", "/sheets/%2e%2e%2fbuild.pdf",
    "/build.yaml", "/secret.jpg", "/photos/secret.jpg", "/photos/aaaa0001-000000000000.jpg"])
def test_nothing_outside_is_given_out(estate, path):
    (estate.path.parent / "secret.jpg").write_bytes(JPEG)
    status, body = ask(estate, path)
    assert status in (400, 404)
    assert b"trialfit: 1" not in body
    assert JPEG not in body


def test_a_link_in_the_folder_of_photos_is_not_followed(estate, tmp_path):
    (tmp_path / "x.jpg").write_bytes(JPEG)
    place = estate.path.parent / "photos"
    place.mkdir(exist_ok=True)
    link = place / "aaaa0001-0123456789ab.jpg"
    link.symlink_to(tmp_path / "x.jpg")
    assert ask(estate, f"/photos/{link.name}")[0] == 404


def test_photos_are_kept_and_given_back_and_nothing_else_is(estate):
    status, body = ask(estate, "/photos/aaaa0009", method="POST", body=JPEG, Content_Type="application/octet-stream")
    assert status == 200
    name = json.loads(body)["name"]
    assert ask(estate, f"/photos/{name}") == (200, JPEG)
    for data in (b"PK\x03\x04 zip", b"<html><script>", b""):
        status, _ = ask(estate, "/photos/aaaa0009", method="POST", body=data, Content_Type="application/octet-stream")
        assert status in (415, 422)
    status, _ = ask(estate, "/photos/..%2fx", method="POST", body=JPEG, Content_Type="application/octet-stream")
    assert status in (404, 422)
    assert sorted(p.name for p in estate.path.parent.iterdir() if p.name not in ("secret.jpg", "build.log")) == [
        "build.yaml", "photos"]


def test_a_reading_is_taken_once_and_only_for_this_build(estate):
    build = build_of(estate)
    line = "tape rail.L1 rail.L2 854 mm"
    assert send(estate, build=build, ident="dddd0001", line=line)[1]["counted"]
    assert send(estate, build=build, ident="dddd0001", line=line)[1]["counted"]
    assert estate.path.read_text(encoding="utf-8").count("854 mm") == 1
    assert send(estate, build="0" * 12, ident="dddd0002", line=line)[0] == 409
    assert send(estate, build=build, ident="../../../x", line=line)[0] == 422
    assert send(estate, build=build, ident="dddd0003", line="x" * 500)[0] == 422
    assert send(estate, build=build, ident="dddd0004", line=line, more="x")[0] == 422
    said = send(estate, build=build, ident="dddd0005", line="tape a b 3 mm\nname: taken over")[1]
    assert not said["counted"]
    assert "taken over" not in estate.path.read_text(encoding="utf-8")


def test_another_site_is_turned_away(estate):
    for path in ("/readings", "/photos/aaaa0001"):
        status, _ = ask(estate, path, method="POST", body=b"{}", origin=False, Origin=ELSEWHERE)
        assert status == 403
    status, _ = ask(estate, "/_nicegui_ws/socket.io/?EIO=4&transport=polling", Origin=ELSEWHERE)
    assert status == 403
    status, _ = ask(estate, "/_nicegui_ws/socket.io/?EIO=4&transport=websocket", Origin=ELSEWHERE,
                    Upgrade="websocket", Connection="Upgrade", Sec_WebSocket_Key="dGhlIHNhbXBsZSBub25jZQ==",
                    Sec_WebSocket_Version="13")
    assert status == 403


def test_too_much_is_not_taken(estate):
    status, _ = ask(estate, "/readings", method="POST", body=b" " * 70_000, Content_Type="application/json")
    assert status == 413
    status, _ = ask(estate, "/photos/aaaa0001", method="POST", body=JPEG + b"0" * 12_000_000,
                    Content_Type="application/octet-stream")
    assert status == 413


def test_markup_in_names_is_shown_as_text(server, tabs, tmp_path: Path):
    path = tmp_path / "build.yaml"
    name = json.dumps(NASTY)
    path.write_text(f"""trialfit: 1
name: {name}
readings:
  - station a 1000 mm
  - offset a 300 mm left
  - height a 400 mm
  - station b 1600 mm
  - offset b 300 mm left
  - height b 400 mm
  - tape a b 640 mm
  - size {NASTY.replace(":", "")} 3 mm
shapes:
  {name}: {{tube: a b, diameter: 50 mm, kind: axle}}
  pipe: {{tube: a b, diameter: 20 mm, kind: fuel}}
""", encoding="utf-8")
    page = tabs.open(f"{server(path).address}/")
    for place in ("Next", "Vehicle", "Tape", "May I?", "Bench"):
        page.click(f"nav button:has-text('{place}')")
        page.wait_for_timeout(700)
        assert page.evaluate("document.title") != "taken over"
        assert page.locator("img[onerror], [onerror]").count() == 0
