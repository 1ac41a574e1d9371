"""Opens the page of one build in the browser; says how to install what the page needs when it is missing."""

import os
import socket
import sys
from pathlib import Path

FIRST_PORT, LAST_PORT = 8080, 8099
"""Ports tried when none is asked for."""
INSTALL = 'the page needs more than the plain program: pip install "trialfit[page]"'


def opened_page(build: Path, host: str, port: int | None, phone: bool, browser: bool) -> int:
    """Serve the page until it is stopped; returns the exit code.

    Parameters
    ----------
    build : path
        the build file
    host : str
        address to listen on
    port : int or None
        port, 1 to 65535; None takes the first free one from 8080 on [-]
    phone : bool
        listen on every address of this machine, with a key
    browser : bool
        whether to open the browser
    """
    # many small sums: threads inside each of them only get in each other's way
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if not build.exists():
        print(f"{build}: there is no such file; trialfit new {build} makes a first one", file=sys.stderr)
        return 2
    if not build.is_file():
        print(f"{build}: this is no file", file=sys.stderr)
        return 2
    if port is not None and not 1 <= port <= 65535:
        print(f"--port {port}: a port is 1 to 65535, such as 8080", file=sys.stderr)
        return 2
    try:
        from trialfit.web.serving import serve
    except ModuleNotFoundError as missing:
        if missing.name is None or missing.name.split(".")[0] not in ("nicegui", "fastapi", "uvicorn", "plotly"):
            raise
        print(INSTALL, file=sys.stderr)
        return 2
    where = "0.0.0.0" if phone and host == "127.0.0.1" else host
    at = _free(where, port)
    if isinstance(at, str):
        print(at, file=sys.stderr)
        return 2
    if where != host:
        print(f"Open to the home network, with a key. On the phone put this machine's address, such as "
              f"{_address()}, in place of THIS-MACHINE.")
    print("Stop with Ctrl-C; everything typed is on the disk.")
    serve(build, where, at, browser)
    return 0


def _free(host: str, port: int | None) -> int | str:
    """The port to listen on, or why there is none."""
    tried = [port] if port is not None else range(FIRST_PORT, LAST_PORT + 1)
    why = ""
    for one in tried:
        with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
            if os.name == "posix":
                # a port that was served a moment ago is free, though old connections to it linger: readings that a
                # phone keeps wait at the old address
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, one))
                return one
            except OSError as error:
                why = error.strerror or str(error)
    if port is None:
        return f"no port from {FIRST_PORT} to {LAST_PORT} is free on {host}: {why}"
    return f"--port {port} on {host}: {why}; leave --port out, or choose another"


def _address() -> str:
    """This machine's address in the home network, as far as it can be told without asking anybody."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # nothing is sent: it only asks which address would be used; 192.0.2.1 is set aside for documents (RFC 5737)
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "192.168.1.20"
