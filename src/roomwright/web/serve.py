"""Starting the server: on this machine only unless told otherwise, on the next free port."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
import webbrowser
from collections.abc import Iterable

import uvicorn

from roomwright.chances import warm
from roomwright.web.app import create_app

PORTS_TRIED = 20
EVERY_ADDRESS = "0.0.0.0"  # noqa: S104 - only served on when the builder asks for it


def free_port(host: str, port: int) -> int:
    """Return `port`, or the next one above it that is free.

    Raises
    ------
    OSError
        if none of the next ones is free, or the address is not ours.
    """
    last: OSError | None = None
    for tried in range(port, port + PORTS_TRIED) if port else (0,):
        with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, tried))
            except OSError as error:
                last = error
                continue
            return int(probe.getsockname()[1])
    raise OSError(
        f"no free port from {port} to {port + PORTS_TRIED - 1} on {host}: {last}"
    ) from last


def own_addresses() -> tuple[str, ...]:
    """Return the names and addresses under which others on the network reach this machine."""
    found = {socket.gethostname().lower(), f"{socket.gethostname().lower()}.local"}
    with contextlib.suppress(OSError):
        found.update(str(a[4][0]) for a in socket.getaddrinfo(socket.gethostname(), None))
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # documentation address: picks the route, sends nothing
        found.add(str(probe.getsockname()[0]))
    return tuple(sorted(found))


def shown_address(host: str, port: int) -> str:
    """Return the address to open: what a person types.

    >>> shown_address("127.0.0.1", 8000), shown_address("::1", 8000)
    ('http://localhost:8000/', 'http://[::1]:8000/')
    """
    if host == "127.0.0.1":
        host = "localhost"
    elif host == EVERY_ADDRESS:
        host = next((a for a in own_addresses() if a[0].isdigit() and a[:4] != "127."), "localhost")
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def serve(
    host: str = "127.0.0.1",
    port: int = 8484,
    store_url: str | None = None,
    open_browser: bool = True,
    *,
    path: str = "/",
    hosts: Iterable[str] = (),
) -> None:
    """Serve the pages until stopped.

    Parameters
    ----------
    host : str
        Address to bind; 127.0.0.1 reaches this machine only.
    port : int
        Port to start looking from.
    store_url : str, optional
        Where the houses are kept; the default store if not given.
    open_browser : bool
        Open the first page once the server answers.
    path : str
        The page to open.
    hosts : iterable of str
        Further names that requests may use, for a server that others reach.
    """
    port = free_port(host, port)
    allowed = [host, *hosts, *(own_addresses() if host == EVERY_ADDRESS else ())]
    server = uvicorn.Server(
        uvicorn.Config(
            create_app(store_url, hosts=allowed),
            host=host,
            port=port,
            log_level="warning",
            server_header=False,
            timeout_graceful_shutdown=3,
        )
    )
    address = shown_address(host, port) + path.lstrip("/")
    threading.Thread(target=_say_when_up, args=(server, address, open_browser), daemon=True).start()
    threading.Thread(target=warm, args=(lambda: server.should_exit,), daemon=True).start()
    server.run()


def _say_when_up(server: uvicorn.Server, address: str, open_browser: bool) -> None:
    while not server.started:
        if server.should_exit:
            return
        time.sleep(0.02)
    print(f"Roomwright is at {address}  (stop it with Ctrl+C)", flush=True)
    if open_browser:
        webbrowser.open(address)
