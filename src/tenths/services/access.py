"""Who may use the bench: people, paired devices, pairing codes and customers' links.

They are no part of any engine's story, so they are kept apart from the logbook, in ``access.sqlite`` in the shop's
folder. Passwords stand there as argon2 hashes, codes and tokens as SHA-256 of values with enough chance in them.
"""

import os
import secrets
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from hashlib import sha256
from pathlib import Path
from threading import RLock
from typing import Any, Literal

from tenths.errors import BadInput, Refused
from tenths.logbook.entry import utc_text
from tenths.logbook.sqlite_schema import connect, migrate

Role = Literal["owner", "hand", "reader"]
ROLES: tuple[Role, ...] = ("owner", "hand", "reader")
ROLE_WORDS: dict[str, str] = {"owner": "owner", "hand": "bench hand", "reader": "reader"}
SHORTEST_PASSWORD, LONGEST_PASSWORD = 8, 200
FREE_TRIES, FIRST_WAIT, LONGEST_WAIT = 5, 30.0, 900.0  # wrong passwords in a row before waiting, and how long [s]
CODE_SIGNS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # without 0, 1, I and O, which are read for one another
CODE_LENGTH, CODE_MINUTES, CODE_TRIES = 8, 10, 5

_FIRST = (
    "CREATE TABLE migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL) STRICT",
    "CREATE TABLE secret (name TEXT PRIMARY KEY, value BLOB NOT NULL) STRICT",
    """CREATE TABLE person (id TEXT PRIMARY KEY, name TEXT NOT NULL UNIQUE, role TEXT NOT NULL, password TEXT NOT NULL,
    version INTEGER NOT NULL, disabled INTEGER NOT NULL, failures INTEGER NOT NULL, failed TEXT NOT NULL,
    added TEXT NOT NULL) STRICT""",
    """CREATE TABLE device (id TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, paired TEXT NOT NULL,
    seen TEXT NOT NULL, revoked TEXT NOT NULL) STRICT""",
    """CREATE TABLE pairing (code TEXT PRIMARY KEY, role TEXT NOT NULL, expires TEXT NOT NULL, tries INTEGER NOT NULL,
    used TEXT NOT NULL) STRICT""",
    """CREATE TABLE link (id TEXT PRIMARY KEY, engine TEXT NOT NULL, token TEXT NOT NULL UNIQUE, words TEXT NOT NULL,
    made TEXT NOT NULL, made_by TEXT NOT NULL, revoked TEXT NOT NULL) STRICT""",
)
MIGRATIONS = (("people, devices, links", _FIRST),)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who signs in. ``version`` grows with each change that ends earlier sign-ins."""

    id: str
    name: str
    role: Role
    version: int
    disabled: bool
    added: str


@dataclass(frozen=True, slots=True)
class Device:
    """A device that was paired; ``revoked`` is when that ended, empty while it holds."""

    id: str
    name: str
    role: Role
    paired: str
    seen: str
    revoked: str


@dataclass(frozen=True, slots=True)
class Link:
    """A customer's read-only link to one engine."""

    id: str
    engine: str
    words: str
    made: str
    made_by: str
    revoked: str


@cache
def hasher() -> Any:
    """The password hasher; its parameters are the library's own."""
    from argon2 import PasswordHasher  # noqa: PLC0415 - only signing in asks

    return PasswordHasher()


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()


class Access:
    """The file of people, devices and links of a shop; several threads and processes may use it."""

    def __init__(self, folder: Path, *, clock: Callable[[], datetime], patience: float = 10.0) -> None:
        self._clock, self._lock = clock, RLock()
        path = folder / "access.sqlite"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path.touch(mode=0o600)
            self._db = connect(path, patience)
            self._db.execute("PRAGMA journal_mode = WAL")
            migrate(self._db, path, utc_text(clock()), MIGRATIONS)
        except (OSError, sqlite3.Error) as error:
            raise Refused(f"{path}: the file of people and devices cannot be used: {error}") from None
        self._db.row_factory = sqlite3.Row

    def close(self) -> None:
        """Lets go of the file."""
        with self._lock:
            self._db.close()

    def _now(self) -> str:
        return utc_text(self._clock())

    def _one(self, sql: str, *values: Any) -> sqlite3.Row | None:
        with self._lock:
            return self._db.execute(sql, values).fetchone()

    def _all(self, sql: str, *values: Any) -> list[sqlite3.Row]:
        with self._lock:
            return self._db.execute(sql, values).fetchall()

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: what is read in it still holds when it is written."""
        with self._lock:
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield self._db
            except BaseException:
                self._db.execute("ROLLBACK")
                raise
            self._db.execute("COMMIT")

    def key(self, name: str) -> bytes:
        """The secret of that name, made when first asked for; the same for every process of the shop."""
        found = self._one("SELECT value FROM secret WHERE name = ?", name)
        if found is None:
            with self._writing() as db:
                db.execute("INSERT OR IGNORE INTO secret VALUES (?, ?)", (name, os.urandom(32)))
            found = self._one("SELECT value FROM secret WHERE name = ?", name)
        assert found is not None  # noqa: S101 - it was just put there
        return bytes(found["value"])

    # -- people -------------------------------------------------------------------------------------------------------

    def people(self) -> list[Person]:
        """Everybody who was added, by name."""
        return [_person(row) for row in self._all("SELECT * FROM person ORDER BY name COLLATE NOCASE")]

    def guarded(self) -> bool:
        """Whether anybody must sign in: from the first person that was added on."""
        return self._one("SELECT 1 FROM person LIMIT 1") is not None

    def person(self, wanted: str) -> Person | None:
        """The person of that id or name."""
        row = self._one("SELECT * FROM person WHERE id = ? OR name = ?", wanted, wanted)
        return _person(row) if row else None

    def add_person(self, name: str, role: str, password: str) -> Person:
        """Adds a person; the first one must be an owner, or nobody could let others in."""
        name = _name("name", name)
        _role(role)
        _password(password)
        hashed = hasher().hash(password)
        with self._writing() as db:
            if role != "owner" and not _owners(db):
                raise BadInput("role: the first person must be an owner; who else could add or change people?")
            try:
                identity = secrets.token_hex(8)
                db.execute("INSERT INTO person VALUES (?, ?, ?, ?, 1, 0, 0, '', ?)",
                           (identity, name, role, hashed, self._now()))
            except sqlite3.IntegrityError:
                raise Refused(f"name: {name!r} is there already") from None
        found = self.person(identity)
        assert found is not None  # noqa: S101 - it was just put there
        return found

    def change_person(self, wanted: str, *, role: str = "", password: str = "", name: str = "",
                      disabled: bool | None = None) -> Person:
        """Changes what is given; a new password, another role or disabling ends that person's sign-ins."""
        person = self.known(wanted)
        if role:
            _role(role)
        if password:
            _password(password)
        with self._writing() as db:
            changed = {"role": role, "name": _name("name", name) if name else "",
                       "password": hasher().hash(password) if password else ""}
            changes: dict[str, Any] = {key: value for key, value in changed.items() if value}
            if disabled is not None:
                changes["disabled"] = int(disabled)
            for column, value in changes.items():
                db.execute(f"UPDATE person SET {column} = ? WHERE id = ?", (value, person.id))  # noqa: S608 - our names
            if set(changes) - {"name"}:
                db.execute("UPDATE person SET version = version + 1, failures = 0 WHERE id = ?", (person.id,))
            if not _owners(db):
                raise Refused("there would be no owner left; make somebody else one first")
        return self.known(person.id)

    def known(self, wanted: str) -> Person:
        """The person of that id or name; raises BadInput when there is none."""
        person = self.person(wanted)
        if person is None:
            names = ", ".join(p.name for p in self.people()) or "nobody yet"
            raise BadInput(f"person: {wanted!r} is not known; there are {names}")
        return person

    def sign_in(self, wanted: str, password: str) -> Person:
        """The person, when the password is right; raises Refused, in the same words for a wrong name, when not."""
        row = self._one("SELECT * FROM person WHERE id = ? OR name = ?", wanted, wanted)
        if row is not None and (wait := self._wait(row)) > 0:
            raise Refused(f"too many wrong passwords; wait {wait:.0f} s")
        right = _verified(row["password"] if row else _nobody(), password)
        if row is None or not right or row["disabled"]:
            if row is not None:
                self._failed(row["id"])
            raise Refused("name or password is not right")
        with self._writing() as db:
            db.execute("UPDATE person SET failures = 0, failed = '' WHERE id = ?", (row["id"],))
            if hasher().check_needs_rehash(row["password"]):
                db.execute("UPDATE person SET password = ? WHERE id = ?", (hasher().hash(password), row["id"]))
        return _person(row)

    def _wait(self, row: sqlite3.Row) -> float:
        if row["failures"] < FREE_TRIES or not row["failed"]:
            return 0.0
        wait = min(FIRST_WAIT * 2 ** min(row["failures"] - FREE_TRIES, 20), LONGEST_WAIT)
        return wait - (self._clock() - datetime.fromisoformat(row["failed"])).total_seconds()

    def _failed(self, identity: str) -> None:
        with self._writing() as db:
            db.execute("UPDATE person SET failures = failures + 1, failed = ? WHERE id = ?", (self._now(), identity))

    # -- devices ------------------------------------------------------------------------------------------------------

    def new_code(self, role: str = "hand") -> tuple[str, str]:
        """A fresh pairing code for one device, and until when it holds; earlier ones hold no more."""
        _role(role)
        code = "".join(secrets.choice(CODE_SIGNS) for _ in range(CODE_LENGTH))
        expires = utc_text(self._clock() + timedelta(minutes=CODE_MINUTES))
        with self._writing() as db:
            db.execute("DELETE FROM pairing")
            db.execute("INSERT INTO pairing VALUES (?, ?, ?, ?, '')", (_digest(code), role, expires, CODE_TRIES))
        return f"{code[:4]}-{code[4:]}", expires

    def pair(self, code: str, name: str) -> Device:
        """Pairs a device by the code; raises Refused when it is wrong, used, too old, or was missed too often."""
        name = _name("name of the device", name)
        plain = "".join(c for c in code.upper() if c.isalnum())
        with self._lock:
            role = self._spend(_digest(plain))
            if role is None:
                raise Refused("code: that one is wrong, used or too old; ask for a new one")
            identity = secrets.token_hex(8)
            with self._writing() as db:
                db.execute("INSERT INTO device VALUES (?, ?, ?, ?, ?, '')",
                           (identity, name, role, self._now(), self._now()))
        found = self.device(identity)
        assert found is not None  # noqa: S101 - it was just put there
        return found

    def _spend(self, digest: str) -> Role | None:
        """The role that the code gives, used up by this; a wrong one uses up a try, also when several come at once."""
        with self._writing() as db:
            row = db.execute("SELECT * FROM pairing WHERE used = '' AND tries > 0 AND expires > ?",
                             (self._now(),)).fetchone()
            if row is None:
                return None
            if not secrets.compare_digest(row["code"], digest):
                db.execute("UPDATE pairing SET tries = tries - 1 WHERE code = ?", (row["code"],))
                return None
            db.execute("UPDATE pairing SET used = ? WHERE code = ?", (self._now(), row["code"]))
            return row["role"]

    def devices(self) -> list[Device]:
        """Every device that was paired, the latest first."""
        return [Device(*row) for row in self._all("SELECT * FROM device ORDER BY paired DESC, id")]

    def device(self, identity: str) -> Device | None:
        """The device of that id."""
        row = self._one("SELECT * FROM device WHERE id = ?", identity)
        return Device(*row) if row else None

    def device_seen(self, identity: str) -> None:
        """Keeps when the device was last seen."""
        with self._writing() as db:
            db.execute("UPDATE device SET seen = ? WHERE id = ?", (self._now(), identity))

    def revoke_device(self, identity: str) -> None:
        """Ends the pairing of a device."""
        self._revoke("device", identity)

    def _revoke(self, table: str, identity: str) -> None:
        with self._writing() as db:
            done = db.execute(f"UPDATE {table} SET revoked = ? WHERE id = ? AND revoked = ''",  # noqa: S608 - our names
                              (self._now(), identity))
            if done.rowcount == 0:
                raise BadInput(f"{table}: {identity!r} is not known, or was ended before")

    # -- customers' links ---------------------------------------------------------------------------------------------

    def new_link(self, engine: str, words: str, made_by: str) -> tuple[Link, str]:
        """A link for a customer, and its token, which is shown once and kept only as a hash."""
        token, identity = secrets.token_urlsafe(32), secrets.token_hex(8)
        with self._writing() as db:
            db.execute("INSERT INTO link VALUES (?, ?, ?, ?, ?, ?, '')",
                       (identity, engine, _digest(token), words, self._now(), made_by))
        return next(link for link in self.links(engine) if link.id == identity), token

    def links(self, engine: str = "") -> list[Link]:
        """Links to an engine, or all, the latest first."""
        return [_link(row) for row in self._all("SELECT * FROM link WHERE ? IN ('', engine) ORDER BY made DESC, id", engine)]

    def link(self, token: str) -> Link | None:
        """The link that this token opens, while it holds."""
        row = self._one("SELECT * FROM link WHERE token = ? AND revoked = ''", _digest(token))
        return _link(row) if row else None

    def revoke_link(self, identity: str) -> None:
        """Ends a customer's link."""
        self._revoke("link", identity)



def _person(row: sqlite3.Row) -> Person:
    return Person(row["id"], row["name"], row["role"], row["version"], bool(row["disabled"]), row["added"])


def _link(row: sqlite3.Row) -> Link:
    return Link(row["id"], row["engine"], row["words"], row["made"], row["made_by"], row["revoked"])


def _owners(db: sqlite3.Connection) -> int:
    return db.execute("SELECT count(*) FROM person WHERE role = 'owner' AND disabled = 0").fetchone()[0]


@cache
def _nobody() -> str:
    """A hash to check against when there is no such name, so that the answer takes as long."""
    return hasher().hash(secrets.token_urlsafe(16))


def _verified(hashed: str, password: str) -> bool:
    from argon2.exceptions import VerificationError  # noqa: PLC0415 - only signing in asks

    try:
        return hasher().verify(hashed, password[:LONGEST_PASSWORD])
    except VerificationError:
        return False


def _name(field: str, value: str) -> str:
    value = " ".join(value.split())
    if not value or len(value) > 60 or not value.isprintable():
        raise BadInput(f"{field}: {value[:60]!r} is not taken; give 1 to 60 printable characters")
    return value


def _role(role: str) -> None:
    if role not in ROLES:
        raise BadInput(f"role: {role!r} is not taken; give one of {', '.join(ROLES)}")


def _password(password: str) -> None:
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        raise BadInput(f"password: {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters are taken")
