"""The port: what the rest of Tenths asks of a logbook, and what every store owes."""

from collections.abc import Sequence
from typing import Protocol

from tenths.logbook.chain import Head
from tenths.logbook.entry import Entry, NewEntry


class Logbook(Protocol):
    """An append-only book of entries in streams, each stream a chain.

    What a store owes, over and above the methods; one suite in ``tests/contract`` holds every store to it:

    - **Durable before answered.** ``append`` and ``adopt`` return only after the entries would survive a power cut.
    - **All or nothing.** A batch goes in as a whole, in order, or not at all.
    - **Order of position is order of commit.** Appends take a lock, from before the head is read until after the
      commit: over the whole book, for the global sequence counts all streams. A plain counter of a database is not
      enough: two transactions may draw 7 and 8 and commit 8 first, and a reader who has seen 8 never looks for 7.
      (PostgreSQL: ``LOCK TABLE ... IN EXCLUSIVE MODE`` or ``pg_advisory_xact_lock`` first, then
      ``max(sequence) + 1``.) For the same reason the sequence has no gaps.
    - **Never an edit.** The store itself refuses to change or delete an entry, also to those who bypass this port.
    - **To the letter.** Texts come back as the same characters: no trimming, folding or normalising, no JSON column.
    - **Several threads** may use one logbook, several processes one store. Readers never wait for a writer.
    - **Damage is said.** What the store's own library raises on damaged data reaches the caller as ``Damaged``, a
      store that cannot be written now (busy, full, read-only) as ``Refused``.
    """

    def append(self, stream: str, entries: Sequence[NewEntry]) -> list[Entry]:
        """Put entries at the end of a stream; returns how each one stands in the book, in the order sent.

        An entry whose id and content already stand in the stream is answered with the entry as it was first taken.

        Raises:
            BadInput: naming the field, its value and what is accepted.
            Refused: naming the id when it already stands for another content or in another stream.
        """
        ...

    def adopt(self, entries: Sequence[Entry]) -> list[Entry]:
        """Take the entries of one stream over from a copy, as they stand there; returns those that were missing here.

        Positions, times of receipt and hashes are kept. The copy must be whole from position 1, and the log here must
        be the beginning of it, or the other way round.

        Raises:
            Damaged: when the chain of the copy does not verify.
            BadInput: when an entry would not have been accepted at the border.
            Refused: when both logs part ways, naming the position, or an id stands in another stream.
        """
        ...

    def read(self, stream: str, *, after: int = 0) -> list[Entry]:
        """The entries of a stream behind position ``after``, in order; none for a stream that does not exist.

        Raises:
            Damaged: when a position is missing.
        """
        ...

    def read_all(self, *, after: int = 0, limit: int | None = None) -> list[tuple[int, Entry]]:
        """Entries of all streams behind the global sequence number ``after``, each with its own, in order of commit."""
        ...

    def find(self, entry_id: str) -> Entry | None:
        """The entry with this id, in whichever stream; None when there is none."""
        ...

    def head(self, stream: str) -> Head:
        """Position and hash of the last entry of a stream; ``(0, GENESIS)`` when it has none."""
        ...

    def tip(self) -> int:
        """The last global sequence number; 0 for an empty book."""
        ...

    def streams(self) -> list[str]:
        """The names of all streams that hold entries, sorted."""
        ...

    def verify(self) -> None:
        """Check everything that is stored: each chain, its end, and the store's own structure.

        Raises:
            Damaged: naming the place.
        """
        ...

    def close(self) -> None:
        """Let go of the store; further use is a mistake of the caller. Closing twice does no harm."""
        ...
