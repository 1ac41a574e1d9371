"""A server of the page on a copy of the estate, and a browser at the size of a phone or a laptop."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
ESTATE = ROOT / "examples" / "estate"
CHROMIUM = "/usr/bin/chromium"
PHONE, LAPTOP = (390, 844), (1366, 768)
_ASKS = """
import sys
from pathlib import Path
from trialfit.web.serving import serve
serve(Path(sys.argv[1]), port=int(sys.argv[2]), open_browser=False)
"""
_ASKS_WITH_LIST = """
import sys, uvicorn
from pathlib import Path
from trialfit.web.desk import Desk
from trialfit.web.serving import Door, app_of
desk = Desk(Path(sys.argv[1]), watching=False)
uvicorn.run(Door(app_of(desk, docs=True), "127.0.0.1", False), port=int(sys.argv[2]), log_level="error")
"""


@dataclass
class Served:
    """A running server: its address and the file it serves."""

    address: str
    path: Path
    process: subprocess.Popen[str]


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def serving(path: Path, script: str = _ASKS) -> Served:
    port = free_port()
    place = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    process = subprocess.Popen([sys.executable, "-c", script, str(path), str(port)], env=place, text=True,
                               stdout=subprocess.DEVNULL, stderr=path.with_suffix(".log").open("w"))
    address = f"http://127.0.0.1:{port}"
    for _ in range(300):
        try:
            urllib.request.urlopen(f"{address}/assets/page.css", timeout=2).read()
            return Served(address, path, process)
        except OSError:
            time.sleep(0.1)
    process.kill()
    raise AssertionError("the server did not begin to answer")


def ended(served: Served) -> None:
    served.process.send_signal(signal.SIGINT)
    try:
        served.process.wait(10)
    except subprocess.TimeoutExpired:
        served.process.kill()
        served.process.wait(5)


@pytest.fixture
def copy_of_estate(tmp_path: Path) -> Path:
    shutil.copy(ESTATE / "build.yaml", tmp_path / "build.yaml")
    return tmp_path / "build.yaml"


@pytest.fixture
def copy_of_flatbed(tmp_path: Path) -> Path:
    shutil.copy(ESTATE.parent / "flatbed" / "build.yaml", tmp_path / "build.yaml")
    return tmp_path / "build.yaml"


@pytest.fixture
def server() -> Iterator[Callable[[Path], Served]]:
    running: list[Served] = []

    def start(path: Path) -> Served:
        running.append(serving(path))
        return running[-1]

    yield start
    for one in running:
        ended(one)


@pytest.fixture(scope="module")
def estate(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One server on a copy of the estate for a whole file of tests that change nothing that matters to each other.

    Without hangers and ways out, which come seconds behind the rest: what they change would be built anew under a test.
    """
    folder = tmp_path_factory.mktemp("estate")
    text = (ESTATE / "build.yaml").read_text(encoding="utf-8")
    first, _, rest = text.partition("      hangers:\n")
    _, joints, rest = rest.partition("      joints:")
    without = "".join(x for x in (first + joints + rest).splitlines(keepends=True) if not x.startswith("      stands:"))
    assert len(without) < len(text)
    (folder / "build.yaml").write_text(without, encoding="utf-8")
    one = serving(folder / "build.yaml")
    yield one
    ended(one)


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server on a small build that gives out the list of its addresses too."""
    path = tmp_path_factory.mktemp("listed") / "build.yaml"
    path.write_text("trialfit: 1\nreadings:\n  - tape a b 600 mm\n", encoding="utf-8")
    one = serving(path, _ASKS_WITH_LIST)
    yield one
    ended(one)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    playwright = pytest.importorskip("playwright.sync_api")
    if not Path(CHROMIUM).exists():
        pytest.skip("no Chromium here")
    with playwright.sync_playwright() as p:
        one = p.chromium.launch(executable_path=CHROMIUM, args=[
            "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"])
        yield one
        one.close()


@dataclass
class Tabs:
    """Opens tabs and keeps what they complained of and whom they asked."""

    browser: Any
    complaints: list[str] = field(default_factory=list)
    strangers: list[str] = field(default_factory=list)
    offline: bool = False
    contexts: list[Any] = field(default_factory=list)

    def open(self, address: str, size: tuple[int, int] = PHONE, look: str = "") -> Any:
        context = self.browser.new_context(viewport={"width": size[0], "height": size[1]}, has_touch=size == PHONE)
        self.contexts.append(context)
        host = address.split("/")[2]
        if look:
            context.add_cookies([{"name": "trialfit-look", "value": look, "url": address}])
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("console", lambda m: self.complaints.append(m.text) if m.type == "error" and not self.offline else None)
        page.on("pageerror", lambda e: self.complaints.append(str(e)))
        page.on("request", lambda r: self.strangers.append(r.url) if not r.url.startswith(("data:", "blob:"))
                and r.url.split("/")[2] != host else None)
        page.goto(address)
        page.wait_for_selector("main h1", state="attached")
        return page


@pytest.fixture
def tabs(browser: Any) -> Iterator[Tabs]:
    """Tabs; at the end none may have complained or asked another host."""
    one = Tabs(browser)
    yield one
    for context in one.contexts:
        context.close()
    assert one.complaints == []
    assert one.strangers == []
