"""Where the page listens: what was served a moment ago is free, what is served now is not."""

import socket

from trialfit.cli.open import _free


def served_once():
    """A listener, its port, and an old connection to it that this end closed first, which lingers."""
    listener = socket.socket()
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.bind(("127.0.0.1", 0))
    listener.listen()
    caller = socket.create_connection(listener.getsockname())
    line, _ = listener.accept()
    line.close()
    caller.recv(1)
    caller.close()
    return listener, listener.getsockname()[1]


def test_a_port_served_a_moment_ago_is_free_again():
    listener, port = served_once()
    listener.close()
    assert _free("127.0.0.1", port) == port


def test_a_port_that_somebody_listens_at_is_not():
    listener, port = served_once()
    with listener:
        why = _free("127.0.0.1", port)
    assert isinstance(why, str)
    assert why.startswith(f"--port {port} on 127.0.0.1: ")
    assert "choose another" in why
