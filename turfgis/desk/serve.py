"""Starting the desk: where it listens, and the address under which it opens."""

import errno
import gc
import socket
import threading
import webbrowser
from ipaddress import ip_address

import uvicorn

from turfgis.desk.app import desk_pages
from turfgis.desk.guard import Guard, Keys
from turfgis.desk.opened import Desk
from turfgis.errors import InputError, TurfgisError

FIRST_PORT, PORTS = 8420, 20  # tried in turn where none is asked for


def open_socket(address: str, port: int | None) -> socket.socket:
    """
    A socket that listens.

    Parameters
    ----------
    address
        Of the machine, such as ``127.0.0.1``.
    port
        The port wanted; None for the first that is free.

    Raises
    ------
    InputError
        The port is taken, or the machine has no such address.
    """
    try:
        family = socket.AF_INET6 if ip_address(address).version == 6 else socket.AF_INET
    except ValueError:
        raise InputError(f"--listen {address}: not an address of a machine; write 127.0.0.1 or 0.0.0.0") from None
    wanted = [port] if port is not None else range(FIRST_PORT, FIRST_PORT + PORTS)
    reason = ""
    for number in wanted:
        made = socket.socket(family, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((address, number))
        except (OSError, OverflowError) as error:
            made.close()
            if getattr(error, "errno", None) == errno.EADDRNOTAVAIL:
                raise InputError(
                    f"cannot listen at {address}: it is no address of this machine; write 127.0.0.1, or 0.0.0.0 to be "
                    "reached by others"
                ) from None
            reason = _why(error)
            continue
        return made
    said = f"port {port}" if port is not None else f"ports {FIRST_PORT} to {FIRST_PORT + PORTS - 1}"
    raise InputError(f"cannot listen at {address}, {said}: {reason}; choose another with --port")


def _why(error: OSError | OverflowError) -> str:
    """Why it cannot listen there, in plain words."""
    plain = {errno.EADDRINUSE: "another program listens there", errno.EACCES: "this account may not listen there"}
    number = getattr(error, "errno", None)
    return plain.get(number or 0) or getattr(error, "strerror", None) or str(error)


def _warm(desk: Desk, say) -> None:
    try:
        desk.warm()
    except TurfgisError as error:
        say(f"The course cannot be used yet, and the page says so too:\n{error}")
    finally:
        gc.freeze()  # what was loaded stays, and need not be looked through for what can go
        gc.enable()


def serve(desk: Desk, listening: socket.socket, keys: Keys, *, browser: bool, say) -> None:
    """
    Show the desk until it is stopped.

    Parameters
    ----------
    desk
        The course on it.
    listening
        A socket from :func:`open_socket`.
    keys
        What opens it.
    browser
        Whether to open a browser at it.
    say
        Gets the lines that tell where it is.
    """
    address, port = listening.getsockname()[:2]
    everywhere = not ip_address(address).is_loopback
    guarded = Guard(desk_pages(desk, keys), keys, port, everywhere=everywhere)
    host = f"[{address}]" if ":" in address else address
    own = "127.0.0.1" if address == "0.0.0.0" else "[::1]" if address == "::" else host
    start = f"http://{own}:{port}/?key={keys.key}"
    listening.listen()  # before it is told where: whoever is quicker than the start waits and is not turned away
    say(f"The desk is open at {start}")
    if everywhere:
        say(f"Others reach it at port {port} of this machine, with the password. Anyone on the network can read along.")
    say("Stop it with Ctrl+C.")
    config = uvicorn.Config(
        guarded, ws="none", log_level="warning", access_log=False, server_header=False, lifespan="off"
    )
    server = uvicorn.Server(config)
    threading.Thread(target=_warm, args=(desk, say), daemon=True).start()
    if browser:
        threading.Timer(0.3, webbrowser.open, [start]).start()
    server.run(sockets=[listening])
