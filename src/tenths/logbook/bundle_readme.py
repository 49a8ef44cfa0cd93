"""The text that goes into every bundle, for a reader who has nothing else."""

README = """\
LOGBOOK OF ONE ENGINE
=====================

This zip holds everything that was written in the logbook of one engine: what was measured, fitted and decided, when,
by whom. It can be read without the program that wrote it (Tenths, bundle format 1).

manifest.json   format, name of the log, number of entries, hash of the last entry ("head"), and for every other
                member its size in bytes and the SHA-256 of its content
entries.jsonl   the log: one JSON object per line, UTF-8, oldest first
files/...       photographs and other files; the name of each is the SHA-256 of its content. Entries name them so

An entry
--------
stream     name of the log, the same in every line
position   1, 2, 3 ... without gaps
id         made by the device on which it was entered
type       what happened, such as reading.taken; see the words of the type
schema     number of the form of the body
at         when it happened by the clock of the device, ISO 8601, UTC
person     who
device     on what it was entered
body       a text that is itself one JSON object: the content, as the device sent it
received   when the logbook took it, ISO 8601, UTC
previous   hash of the entry before it; 64 zeros for the first
hash       SHA-256, see below
seen       position of the log that the person had seen when deciding, or null

Nothing is ever changed in a log. An entry of type entry.struck says that an earlier one does not count, and why.

How to check it
---------------
The hash of an entry is the SHA-256 of thirteen texts, one after the other, each as: the number of its bytes in UTF-8
in decimal, a colon, the bytes, a comma. The texts are, in this order:
tenths-entry-1 (this label itself), stream, position, id, type, schema, at, person, device, body, seen, received,
previous. Numbers are written in decimal; a seen of null is the empty text. In Python:

    import hashlib, json, zipfile
    z = zipfile.ZipFile("the-bundle.zip")
    before = "0" * 64
    for n, line in enumerate(z.read("entries.jsonl").splitlines(), 1):
        e = json.loads(line)
        seen = "" if e["seen"] is None else e["seen"]
        texts = ["tenths-entry-1", e["stream"], e["position"], e["id"], e["type"], e["schema"], e["at"], e["person"],
                 e["device"], e["body"], seen, e["received"], e["previous"]]
        raw = b"".join(b"%d:%b," % (len(b), b) for b in (str(t).encode() for t in texts))
        assert e["position"] == n and e["previous"] == before and hashlib.sha256(raw).hexdigest() == e["hash"], n
        before = e["hash"]
    assert before == json.loads(z.read("manifest.json"))["head"]
    for m in json.loads(z.read("manifest.json"))["members"]:
        assert hashlib.sha256(z.read(m["name"])).hexdigest() == m["sha256"], m["name"]

That shows damage and careless changes. Somebody who changes an entry and computes every hash anew is found out only
by comparing the head with a copy of it kept elsewhere, such as the one printed on the record of the engine.
"""
