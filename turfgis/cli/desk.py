"""``turfgis desk``."""

import gc
import getpass
from pathlib import Path

import click

from turfgis.errors import InputError, LayerError


@click.command(name="desk")
@click.argument("course", type=click.Path(path_type=Path), default=Path(), required=False)
@click.option("--port", type=click.IntRange(1, 65535), help="Where to listen. [default: the first free from 8420]")
@click.option(
    "--listen",
    metavar="ADDRESS",
    default="127.0.0.1",
    show_default=True,
    help="Address of this machine; any other than its own asks for a password.",
)
@click.option("--browser/--no-browser", default=True, show_default=True, help="Open a browser at the page.")
@click.option("--who", metavar="NAME", help="Who makes the changes. [default: the name of the account]")
def command(course: Path, port: int | None, listen: str, browser: bool, who: str | None) -> None:
    """
    A local page to draw areas, plan and order.

    COURSE is a course folder, or an empty one in which a course is to be begun; left out, the folder you are in. The
    page is served from this machine and needs no network.
    """
    folder = course.parent if course.name == "course.toml" else course
    if not folder.is_dir():
        if folder.exists():
            raise LayerError(f"{course}: is no folder; give the folder that it lies in, {folder.resolve().parent}")
        raise LayerError(f"{course}: no such folder; give a course folder, or make an empty one to begin in")
    gc.disable()  # a tenth of the start would go into looking for what can be forgotten; `serve` turns it on again
    try:
        _serve(folder, port, listen, browser, who or _account())
    finally:
        gc.enable()


def _serve(folder: Path, port: int | None, listen: str, browser: bool, who: str) -> None:
    from turfgis.desk.guard import Keys
    from turfgis.desk.opened import Desk
    from turfgis.desk.serve import open_socket, serve

    listening = open_socket(listen, port)
    keys = Keys(password=None if _own_machine(listen) else _password())
    serve(Desk(folder, who), listening, keys, browser=browser, say=click.echo)


def _own_machine(address: str) -> bool:
    from ipaddress import ip_address

    return ip_address(address).is_loopback


def _password() -> str:
    """Asked for, because a password on the command line is read by everyone on the machine."""
    given = click.prompt("Password for the desk", hide_input=True, confirmation_prompt=True)
    if len(given) < 8:
        raise InputError("the password of a desk that others can reach needs eight signs or more")
    return given


def _account() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""
