"""`tenths bench` serves the bench; `tenths people` says who may use it."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from tenths.services.access import ROLE_WORDS, ROLES, Access, Person
from tenths.services.shop import Shop, open_shop

PORT = 8377


def shop_of_command() -> Shop:
    """The shop named by ``--shop`` before the command, or the usual one."""
    root = click.get_current_context().find_root()
    return open_shop(root.params.get("shop"), person=root.params.get("person") or "")


@click.command("bench")
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="0 for any that is free.")
@click.option("--lan", is_flag=True, help="Serve the shop's network too; devices are paired by a code.")
@click.option("--tls", is_flag=True, help="With a certificate made on first use; phones then work through a dead line.")
@click.option("--name", "names", multiple=True, help="A further name that this machine is reached by.")
@click.option("--open", "open_page", is_flag=True, help="Open the page in this machine's browser.")
def bench(port: int, names: tuple[str, ...], *, lan: bool, tls: bool, open_page: bool) -> None:
    """Serve the bench: pages for phone, tablet and desk, on this machine alone unless --lan is given."""
    from tenths.bench.serve import Wish, serve  # noqa: PLC0415 - only this command serves

    shop = shop_of_command()
    try:
        serve(shop, Wish(port=port, lan=lan, tls=tls, names=names, open_page=open_page), _say)
    finally:
        shop.logbook.close()


def _say(line: str) -> None:
    click.echo(line)
    sys.stdout.flush()


@contextmanager
def _access() -> Iterator[tuple[Shop, Access]]:
    shop = shop_of_command()
    access = Access(shop.folder, clock=shop.clock)
    try:
        yield shop, access
    finally:
        access.close()
        shop.logbook.close()


@click.group("people")
def people() -> None:
    """Who may use the bench: people, paired devices, customers' links."""


@people.command("list")
def list_people() -> None:
    """Everybody who was added."""
    with _access() as (_, access):
        rows = access.people()
        for person in rows:
            click.echo(_line(person))
        if not rows:
            click.echo("Nobody was added, so nobody needs to sign in. 'tenths people add NAME --role owner' adds the first.")


def _line(person: Person) -> str:
    return f"{person.name:30} {ROLE_WORDS[person.role]:12} {'disabled' if person.disabled else ''}".rstrip()


def _password(from_input: bool) -> str:  # noqa: FBT001 - a flag handed on
    if from_input:
        return sys.stdin.readline().rstrip("\r\n")
    asked: str = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    return asked


_ROLE = click.Choice(ROLES)
_FROM_INPUT = click.option("--password-from-input", "from_input", is_flag=True, help="Read the password from standard input.")


@people.command("add")
@click.argument("name")
@click.option("--role", type=_ROLE, required=True)
@_FROM_INPUT
def add_person(name: str, role: str, *, from_input: bool) -> None:
    """Add a person. From the first one on, everybody must sign in."""
    with _access() as (_, access):
        click.echo(_line(access.add_person(name, role, _password(from_input))))


@people.command("change")
@click.argument("name")
@click.option("--role", type=_ROLE, default=None)
@click.option("--rename", default="", help="A new name.")
@click.option("--password", "new_password", is_flag=True, help="Ask for a new password.")
@_FROM_INPUT
def change_person(name: str, role: str | None, rename: str, *, new_password: bool, from_input: bool) -> None:
    """Change role, name or password; a person's sign-ins end with a change of role or password."""
    with _access() as (_, access):
        password = _password(from_input) if new_password or from_input else ""
        click.echo(_line(access.change_person(name, role=role or "", name=rename, password=password)))


@people.command("disable")
@click.argument("name")
def disable_person(name: str) -> None:
    """Let a person in no more; what they wrote stays."""
    with _access() as (_, access):
        click.echo(_line(access.change_person(name, disabled=True)))


@people.command("enable")
@click.argument("name")
def enable_person(name: str) -> None:
    """Let a person in again."""
    with _access() as (_, access):
        click.echo(_line(access.change_person(name, disabled=False)))


@people.command("pair")
@click.option("--role", type=_ROLE, default="hand", show_default=True,
              help="What the device may do while nobody needs to sign in.")
def pair(role: str) -> None:
    """A fresh code for one device; type it on the device's page."""
    with _access() as (_, access):
        code, expires = access.new_code(role)
        click.echo(f"{code}   (until {expires[11:16]} UTC; earlier codes hold no more)")


@people.command("devices")
def devices() -> None:
    """The devices that were paired."""
    with _access() as (_, access):
        for device in access.devices():
            ended = f"ended {device.revoked[:10]}" if device.revoked else ""
            click.echo(f"{device.id}  {device.name:24} {ROLE_WORDS[device.role]:12} since {device.paired[:10]} {ended}".rstrip())


@people.command("end-device")
@click.argument("device")
def end_device(device: str) -> None:
    """End the pairing of a device, by its id."""
    with _access() as (_, access):
        access.revoke_device(device)
        click.echo("ended")


@people.command("link")
@click.argument("engine")
@click.option("--for", "words", default="", help="For whom.")
@click.option("--address", default="", help="How the customer reaches the bench, like http://192.0.2.7:8377")
def link(engine: str, words: str, address: str) -> None:
    """A read-only link to one engine for a customer; its address is shown this once."""
    with _access() as (shop, access):
        shop.build(engine)
        made, token = access.new_link(engine, words, shop.person)
        click.echo(f"{address.rstrip('/')}/c/{token}")
        click.echo(f"To end it: tenths people end-link {made.id}")


@people.command("links")
def links() -> None:
    """Customers' links, without their secrets."""
    with _access() as (_, access):
        for row in access.links():
            click.echo(f"{row.id}  {row.engine:20} {row.words:30} {'ended' if row.revoked else ''}".rstrip())


@people.command("end-link")
@click.argument("link_id")
def end_link(link_id: str) -> None:
    """End a customer's link, by its id."""
    with _access() as (_, access):
        access.revoke_link(link_id)
        click.echo("ended")
