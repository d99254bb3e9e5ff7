"""``heftwright serve``: the web app on this machine or the gym's network."""

from __future__ import annotations

import errno
import ipaddress
import os
import socket
from pathlib import Path

import click

from heftwright.domain.refusal import Refusal

PORT = 8765
LOOPBACK = "127.0.0.1"
EVERY_NETWORK = "0.0.0.0"  # noqa: S104 - only when the coach asks for it by --host


class PortError(Refusal):
    """The port or address cannot be used."""


def _as_address(_ctx: click.Context, _option: click.Parameter, host: str) -> str:
    """The host as the server wants it: an IP address, checked before anything starts."""
    if host.strip().casefold() == "localhost":
        return LOOPBACK
    try:
        return str(ipaddress.IPv4Address(host.strip()))
    except ValueError:
        raise click.BadParameter(
            f"“{host}” is not an address of this machine: write {LOOPBACK} for this machine only, "
            f"{EVERY_NETWORK} for the gym's network, or one of its own, like 192.168.1.20."
        ) from None


host_option = click.option(
    "--host", default=LOOPBACK, show_default=True, callback=_as_address,
    help=f"{EVERY_NETWORK}: the gym's network.",
)  # fmt: skip
port_option = click.option(
    "--port",
    default=PORT,
    show_default=str(PORT),
    type=click.IntRange(1, 65_535),
    metavar="NUMBER",
    help="1–65535; below 1024 needs an administrator.",
)


@click.command("serve")
@host_option
@port_option
def command(host: str, port: int) -> None:
    """Serve the web app until Ctrl-C."""
    from heftwright.usecases.start import open_house

    check_port_free(host, port)
    for address in addresses(host, port):
        click.echo(f"The web app: {address}/")
    open_house()
    serve(host, port)


def addresses(host: str, port: int) -> tuple[str, ...]:
    """Where browsers find the server; off this machine it also lets its own names in."""
    if host == LOOPBACK:
        return (f"http://{host}:{port}",)
    names = (LOOPBACK, *_lan_names()) if host == EVERY_NETWORK else (host,)
    os.environ.setdefault("HEFTWRIGHT_HOSTS", ",".join(("localhost", "[::1]", *names)))
    return tuple(f"http://{name}:{port}" for name in names)


def _lan_names() -> tuple[str, ...]:
    """This machine's address on the gym's network, and its name; asks nobody."""
    found = [socket.gethostname().casefold()]
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): nothing is sent
            found.insert(0, probe.getsockname()[0])
        except OSError:
            pass  # no network at all: this machine only
    return tuple(dict.fromkeys(found))


def check_port_free(host: str, port: int) -> None:
    """Refuse early, with a sentence, when the port is taken or may not be used.

    Raises
    ------
    PortError
        Saying what to do.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise PortError(_port_words(error, host, port)) from None


def _port_words(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"Port {port} is taken, perhaps by another Heftwright. Stop that one, or choose "
            f"another: --port {port + 1} (make demo PORT={port + 1})."
        )
    if error.errno == errno.EACCES:
        return f"Port {port} needs an administrator: choose one above 1023, for example {PORT}."
    return f"{host}:{port} cannot be used ({error.strerror}): check the address."


def serve(host: str, port: int) -> None:
    """Serve in this process's group until Ctrl-C or a termination signal; leaves nothing behind."""
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "heftwright.config.settings")
    if "HEFTWRIGHT_DATA" in os.environ:
        os.environ["HEFTWRIGHT_DATA"] = str(Path(os.environ["HEFTWRIGHT_DATA"]).resolve())
    Granian(
        "heftwright.config.wsgi:application",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=4,
        log_level=LogLevels.warning,
        websockets=False,
        workers_kill_timeout=2,
    ).serve()
