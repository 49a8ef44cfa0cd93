"""A shop: its logbook, its files, its clock, and the Builds it has folded so far."""

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING

from tenths.errors import BadInput, Refused
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry, NewEntry
from tenths.logbook.fold import extend, feature_for, fold
from tenths.logbook.ids import new_id
from tenths.logbook.port import Logbook
from tenths.logbook.vet import vet
from tenths.logbook.work_bodies import WorkBody

if TYPE_CHECKING:
    from tenths.findings.finding import Finding

SHOP = "shop"  # the stream of what belongs to no engine: instruments, house rules
A_FEW = 12  # readings after which findings are worked out anew from what these can reach
STREAM = re.compile(r"[a-z0-9][a-z0-9-]{0,40}")


def utc_now() -> datetime:
    """The clock of this machine."""
    return datetime.now(UTC)


@dataclass(slots=True)
class Shop:
    """What every command and question works on. Several threads may use one shop.

    A Build that was handed out is never written to again: later entries make a new one, so that a question asked
    in one thread is answered from one state of the log while another thread appends.
    """

    logbook: Logbook
    folder: Path
    person: str
    device: str = "this machine"
    clock: Callable[[], datetime] = utc_now
    random: Callable[[int], bytes] = os.urandom
    _builds: dict[str, Build] = field(default_factory=dict[str, Build])
    _folding: RLock = field(default_factory=RLock)
    _checked: "dict[str, tuple[Build, list[Finding]]]" = field(default_factory=dict)
    _checking: RLock = field(default_factory=RLock)

    def build(self, stream: str) -> Build:
        """The Build of a stream up to the last entry; raises BadInput when there is no such engine."""
        with self._folding:
            known = self._builds.get(stream)
            entries = self.logbook.read(stream, after=known.position if known else 0)
            if known is None:
                if not entries and stream != SHOP:
                    raise BadInput(self._no_engine(stream))
                known = fold(stream, entries)
            elif entries:
                known = self._grown(known, entries)
            self._builds[stream] = known
            return known

    def checked(self, build: Build) -> "list[Finding]":
        """All findings of a Build that this shop handed out, worked out once for as long as it is the latest."""
        from tenths.findings.check import check  # noqa: PLC0415 - who only writes needs none of it

        with self._checking:
            known = self._checked.get(build.stream)
            if known is None or known[0] is not build:
                found = self._with_a_few_more(known, build) if known else None
                known = self._checked[build.stream] = (build, check(build) if found is None else found)
            return list(known[1])

    def _with_a_few_more(self, known: "tuple[Build, list[Finding]]", build: Build) -> "list[Finding] | None":
        """All findings where only a few readings came in since they were worked out; None where more than that changed."""
        from tenths.findings.check import recheck  # noqa: PLC0415 - as above

        before, found = known
        if not before.position < build.position <= before.position + A_FEW:
            return None
        entries = [e for e in self.logbook.read(build.stream, after=before.position) if e.position <= build.position]
        if any(e.type != bodies.ReadingTaken.TYPE for e in entries) or len(build.problems) != len(before.problems):
            return None
        for body in (bodies.decode(e.type, e.schema, e.body) for e in entries):
            assert isinstance(body, bodies.ReadingTaken)  # noqa: S101 - the type says so
            again = recheck(build, found, body.station, feature_for(build, body.station, body.feature).name)
            if again is None:
                return None
            anew = {(f.characteristic.name, f.station): f for f in again}
            found = [anew.get((f.characteristic.name, f.station), f) for f in found]
        return found

    def _grown(self, known: Build, entries: list[Entry]) -> Build:
        """Entries added to a Build; a strike reaches back, so then everything is folded anew."""
        if any(entry.type == bodies.EntryStruck.TYPE for entry in entries):
            return fold(known.stream, self.logbook.read(known.stream))
        return extend(known.copy(), entries)

    def _no_engine(self, stream: str) -> str:
        engines = [name for name in self.logbook.streams() if name != SHOP]
        known = ", ".join(engines) if engines else "none yet: 'tenths new' makes the first"
        return f"engine: there is no {stream!r}; engines in this shop: {known}"

    def engines(self) -> list[str]:
        """Streams that are engines, in order of name."""
        return sorted(name for name in self.logbook.streams() if name != SHOP)

    def append(self, stream: str, *what: bodies.Body, seen: int | None = None, person: str = "") -> list[Entry]:
        """Vets the bodies against the Build and appends them, all or none.

        Raises:
            BadInput: when a body says something that cannot be understood or does not fit the engine.
            Refused: when the store refuses.
        """
        now = self.clock()
        new = [NewEntry(id=new_id(int(now.timestamp() * 1000), self.random(10)), type=body.TYPE, schema=body.SCHEMA,
                        at=now.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
                        person=person or self.person, device=self.device, body=bodies.encode(body), seen=seen)
               for body in what]
        return self.append_entries(stream, new)

    def append_entries(self, stream: str, new: list[NewEntry]) -> list[Entry]:
        """Appends entries made elsewhere (a phone, an import), vetted like our own; a repeat gets its first answer."""
        if not STREAM.fullmatch(stream):
            raise BadInput(f"engine: {stream!r} is not a name; small letters, digits and hyphens are taken, up to 41")
        build = self._build_or_empty(stream)
        fresh = [entry for entry in new if self.logbook.find(entry.id) is None]
        what = [bodies.decode(entry.type, entry.schema, entry.body) for entry in fresh]
        vet(build, what)
        for body in what:
            if isinstance(body, bodies.LimitStated | bodies.HouseAdopted | bodies.InstrumentListed
                          | bodies.InstrumentCertified):
                from tenths.findings.rules import vet_rules  # noqa: PLC0415 - few entries ask

                vet_rules(build, body)
            elif isinstance(body, bodies.JointStated):
                from tenths.services.fasteners import vet_joint  # noqa: PLC0415 - few entries ask

                vet_joint(build, body)
        if any(isinstance(body, WorkBody) for body in what):
            from tenths.work.vet import vet_work  # noqa: PLC0415 - few entries ask

            vet_work(build, what)
        return self.logbook.append(stream, new)

    def _build_or_empty(self, stream: str) -> Build:
        try:
            return self.build(stream)
        except BadInput:
            return Build(stream)


def shop_folder(given: str | Path | None = None) -> Path:
    """The folder of the shop: as given, else TENTHS_SHOP, else the user's data folder."""
    if given or os.environ.get("TENTHS_SHOP"):
        return Path(given or os.environ["TENTHS_SHOP"])
    import platformdirs  # noqa: PLC0415 - not needed where a folder is given

    return Path(platformdirs.user_data_dir("tenths", appauthor=False))


def open_shop(given: str | Path | None = None, *, person: str = "") -> Shop:
    """Opens the shop in a folder, making it on first use."""
    from tenths.logbook.sqlite import SqliteLogbook  # noqa: PLC0415 - tests with memory do not need it

    folder = shop_folder(given)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"shop: the folder {folder} cannot be made: {error.strerror}") from None
    who = person or os.environ.get("TENTHS_PERSON") or os.environ.get("USER") or "owner"
    return Shop(SqliteLogbook(folder / "shop.sqlite", clock=utc_now), folder, who)
