-- A logbook with tables of version 1, kept as it was written; later versions must still open it.
PRAGMA application_id = 1952804468;
PRAGMA user_version = 1;
CREATE TABLE migration (
    number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied TEXT NOT NULL
) STRICT;
CREATE TABLE entry (
    sequence INTEGER PRIMARY KEY,
    stream TEXT NOT NULL,
    position INTEGER NOT NULL,
    id TEXT NOT NULL UNIQUE,
    type TEXT NOT NULL,
    schema INTEGER NOT NULL,
    at TEXT NOT NULL,
    person TEXT NOT NULL,
    device TEXT NOT NULL,
    body TEXT NOT NULL,
    received TEXT NOT NULL,
    previous TEXT NOT NULL,
    hash TEXT NOT NULL,
    seen INTEGER,
    UNIQUE (stream, position)
) STRICT;
INSERT INTO "entry" VALUES(1,'six',1,'018f0000-0000-7000-8000-000000000001','reading.taken',1,'2026-03-01T14:02:11.250Z','Ann','phone','{"text":"2.2485 é"}','2026-03-01T14:02:12.000Z','0000000000000000000000000000000000000000000000000000000000000000','101e5d7a8344f143a43038abe6ba9cb904c47a740f21f264de28499a2581b7f9',NULL);
INSERT INTO "entry" VALUES(2,'six',2,'018f0000-0000-7000-8000-000000000002','reading.taken',1,'2026-03-01T14:02:11.250Z','Ann','phone','{"text":"2.2485 é"}','2026-03-01T14:02:12.000Z','101e5d7a8344f143a43038abe6ba9cb904c47a740f21f264de28499a2581b7f9','45d015f81ac085f90427122d3bf23dcbd5fb7daabef5c9fd4fc89c923fb49848',NULL);
INSERT INTO "entry" VALUES(3,'v8',1,'018f0000-0000-7000-8000-000000000003','reading.taken',1,'2026-03-01T14:02:11.250Z','Ann','phone','{"text":"2.2485 é"}','2026-03-01T14:02:12.000Z','0000000000000000000000000000000000000000000000000000000000000000','21ca2df028fc523b64439950d2fb4fe210a9166025281c281c0c97178e59ca22',NULL);
INSERT INTO "migration" VALUES(1,'entries','2026-03-01T14:02:12.000Z');
CREATE TRIGGER entry_joins_the_chain BEFORE INSERT ON entry WHEN
    NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM entry)
    OR EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
    OR CASE NEW.position
        WHEN 1 THEN NEW.previous <> printf('%064d', 0) OR EXISTS (SELECT 1 FROM entry WHERE stream = NEW.stream)
        ELSE (NEW.position - 1, NEW.previous) IS NOT (
            SELECT position, hash FROM entry WHERE stream = NEW.stream ORDER BY position DESC LIMIT 1)
    END
BEGIN SELECT RAISE(ABORT, 'an entry only joins the end of its chain'); END;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;
