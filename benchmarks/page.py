"""How soon the page shows, answers a reading, and goes on answering while a route is looked for; and what it holds.

The server runs on one core, on a copy of the estate. Each figure stands against a bound met in the same run: the time
that an empty answer of the same server takes, or the survey alone. Needs a Chromium and the packages of the tests. Run
from the top of the checkout: ``python benchmarks/page.py [--minutes 30] [--tabs 5] [--every 30]``.
"""

import argparse
import os
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[1]
CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
ANSWER = "section.page h1.h1"
SERVE = """
import sys
from pathlib import Path
from trialfit.web.serving import serve
serve(Path(sys.argv[1]), port=int(sys.argv[2]), open_browser=False)
"""


def served(path: Path) -> tuple[subprocess.Popen, str]:
    """The server on one core, and its address."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = one.getsockname()[1]
    place = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "OPENBLAS_NUM_THREADS": "1"}
    process = subprocess.Popen([sys.executable, "-c", SERVE, str(path), str(port)], env=place,
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.sched_setaffinity(process.pid, {0})
    address = f"http://127.0.0.1:{port}"
    while True:
        try:
            urllib.request.urlopen(f"{address}/assets/page.css", timeout=5).read()
            return process, address
        except OSError:
            time.sleep(0.1)


def empty_answer_s(address: str) -> float:
    """Median of what the smallest answer takes: the bound under everything else."""
    taken = []
    for _ in range(20):
        start = time.perf_counter()
        urllib.request.urlopen(f"{address}/assets/page.css", timeout=30).read()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def family_mb(pid: int) -> float:
    """Resident memory of a process and its children [MB]."""
    total = 0
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            text = dict(line.split(":", 1) for line in status.read_text().splitlines() if ":" in line)
        except OSError:
            continue
        own = int(text["Pid"])
        if own == pid or int(text["PPid"]) == pid:
            total += int(text.get("VmRSS", "0 kB").split()[0])
    return total / 1024.0


def worked(address: str, tab) -> None:
    """Wait until the first results are there."""
    tab.goto(f"{address}/?place=May%20I%3F")
    tab.wait_for_selector("text=Do not", timeout=240_000)


def first_paint_s(browser, address: str, times: int = 5) -> list[float]:
    taken = []
    for _ in range(times):
        context = browser.new_context(viewport={"width": 390, "height": 844})
        tab = context.new_page()
        start = time.perf_counter()
        tab.goto(f"{address}/")
        tab.wait_for_selector("h1, h2")
        taken.append(time.perf_counter() - start)
        context.close()
    return taken


def reading_s(browser, address: str, times: int = 5) -> list[float]:
    """From the key that writes a reading to the survey's answer."""
    taken = []
    context = browser.new_context(viewport={"width": 390, "height": 844})
    tab = context.new_page()
    for number in range(times):
        tab.goto(f"{address}/?place=Tape")
        tab.wait_for_function("document.querySelector('[data-kind]')?.options.length > 0")
        tab.wait_for_timeout(1500)
        tab.select_option("[data-kind]", "height")
        tab.select_option("[data-a]", "tank.a")
        tab.fill("[data-says]", f"{319 + 0.1 * number:.1f} mm")
        start = time.perf_counter()
        tab.click("[data-k=write]")
        tab.wait_for_selector(ANSWER, timeout=60_000)
        taken.append(time.perf_counter() - start)
    context.close()
    return taken


def told(name: str, taken: list[float], bound: float) -> None:
    print(f"| {name} | {statistics.median(taken):.2f} | {max(taken):.2f} | {statistics.median(taken) / bound:.0f} |",
          flush=True)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--minutes", type=float, default=30.0)
    ask.add_argument("--tabs", type=int, default=5)
    ask.add_argument("--every", type=float, default=30.0, help="seconds between two rounds over the tabs")
    given = ask.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "build.yaml"
        shutil.copy(ROOT / "examples" / "estate" / "build.yaml", path)
        process, address = served(path)
        try:
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
                first = browser.new_page()
                worked(address, first)
                bound = empty_answer_s(address)
                print("| what | median s | worst s | times an empty answer |\n|---|---|---|---|")
                told("heading shown", first_paint_s(browser, address), bound)
                told("answer to a reading", reading_s(browser, address), bound)
                tabs = [browser.new_page() for _ in range(given.tabs)]
                for tab, place in zip(tabs, ("Next", "Vehicle", "Tape", "May%20I%3F", "Bench") * given.tabs):
                    tab.goto(f"{address}/?place={place}")
                begun = family_mb(process.pid)
                seen = [begun]
                end = time.monotonic() + 60.0 * given.minutes
                slow = []
                while time.monotonic() < end:
                    time.sleep(given.every)
                    for tab, place in zip(tabs, ("Vehicle", "Tape", "Next", "Bench", "May%20I%3F") * given.tabs):
                        start = time.perf_counter()
                        tab.goto(f"{address}/?place={place}", timeout=240_000)
                        tab.wait_for_selector("h1, h2", timeout=240_000, state="attached")
                        slow.append(time.perf_counter() - start)
                    seen.append(family_mb(process.pid))
                told(f"a place shown, {given.tabs} tabs open", slow, bound)
                print(f"\nserver and its worker, {given.tabs} tabs for {given.minutes:g} min: {begun:.0f} MB first, "
                      f"{seen[-1]:.0f} MB last, {max(seen):.0f} MB at most; {len(slow)} places shown")
                browser.close()
        finally:
            process.send_signal(signal.SIGINT)
            process.wait(20)


if __name__ == "__main__":
    main()
