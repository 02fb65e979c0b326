-- The record: every entry of every ledger, at its place in the whole shop. Written once, never changed.
CREATE TABLE entry (
    place INTEGER PRIMARY KEY,
    ledger TEXT NOT NULL,
    number INTEGER NOT NULL,
    at TEXT NOT NULL,
    "by" TEXT NOT NULL,
    body TEXT NOT NULL,
    hash BLOB NOT NULL,
    shop_hash BLOB NOT NULL,
    UNIQUE (ledger, number)
) STRICT;

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN
    SELECT RAISE(ABORT, 'an entry of the record is never changed');
END;

CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN
    SELECT RAISE(ABORT, 'an entry of the record is never removed');
END;

-- An entry goes to the end. This also stops INSERT OR REPLACE, which removes without asking the trigger above.
CREATE TRIGGER entry_goes_to_the_end BEFORE INSERT ON entry
WHEN NEW.place <> (SELECT coalesce(max(place), 0) + 1 FROM entry)
    OR NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM entry WHERE ledger = NEW.ledger)
BEGIN
    SELECT RAISE(ABORT, 'an entry of the record goes to the end');
END;

-- Derived from the entries, and rebuilt from them: one row a job. id is the place of its first entry.
CREATE TABLE job (
    id INTEGER PRIMARY KEY,
    number TEXT NOT NULL UNIQUE,
    surface TEXT NOT NULL,
    part TEXT NOT NULL COLLATE NOCASE,
    serial TEXT NOT NULL COLLATE NOCASE,
    aircraft TEXT NOT NULL COLLATE NOCASE,
    work_order TEXT NOT NULL COLLATE NOCASE,
    step TEXT NOT NULL,
    state TEXT NOT NULL,
    opened TEXT NOT NULL,
    changed TEXT NOT NULL,
    entries INTEGER NOT NULL,
    last_stage TEXT,
    last_moment_kg_m REAL,
    last_verdict TEXT,
    last_doubt TEXT
) STRICT;

CREATE INDEX job_by_state ON job (state, id);
CREATE INDEX job_by_part ON job (part, serial, id);
CREATE INDEX job_by_number ON job (number COLLATE NOCASE, id);
CREATE INDEX job_by_serial ON job (serial, id);
CREATE INDEX job_by_aircraft ON job (aircraft, id, state, changed);
CREATE INDEX job_by_work_order ON job (work_order, id);

-- Derived: the weighings that count, for the history of a serial number.
CREATE TABLE point (
    job INTEGER NOT NULL REFERENCES job (id) ON DELETE CASCADE,
    entry INTEGER NOT NULL,
    at TEXT NOT NULL,
    date TEXT NOT NULL,
    stage TEXT NOT NULL,
    moment_kg_m REAL NOT NULL,
    expanded_kg_m REAL NOT NULL,
    from_kg_m REAL NOT NULL,
    to_kg_m REAL NOT NULL,
    verdict TEXT NOT NULL,
    doubt TEXT NOT NULL,
    valid INTEGER NOT NULL,
    PRIMARY KEY (job, entry)
) STRICT, WITHOUT ROWID;

-- Derived: corrections and works that count. station, action and mass are empty for a work, kind for a correction.
CREATE TABLE event (
    job INTEGER NOT NULL REFERENCES job (id) ON DELETE CASCADE,
    entry INTEGER NOT NULL,
    at TEXT NOT NULL,
    "by" TEXT NOT NULL,
    sort TEXT NOT NULL,
    station TEXT NOT NULL,
    action TEXT NOT NULL,
    mass TEXT NOT NULL,
    kind TEXT NOT NULL,
    what TEXT NOT NULL,
    PRIMARY KEY (job, entry)
) STRICT, WITHOUT ROWID;

-- Derived: the words that a job is found by. The rowid is that of the job; terms are made in the program.
CREATE VIRTUAL TABLE search USING fts5 (
    terms,
    content = '',
    contentless_delete = 1,
    detail = none,
    prefix = '1 2 3 4 5 6 7 8 9 10 11 12',
    tokenize = 'ascii'
);

-- The version of the program that derived the tables above; one row. Another version derives them anew.
CREATE TABLE derived_by (
    version TEXT NOT NULL
) STRICT;

INSERT INTO derived_by (version) VALUES ('');

-- What was typed and not entered yet, field by field. rev counts through the whole shop.
CREATE TABLE draft (
    job TEXT NOT NULL,
    form TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT NOT NULL,
    rev INTEGER NOT NULL,
    "by" TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (job, form, field)
) STRICT, WITHOUT ROWID;

-- When a form was last entered or emptied.
CREATE TABLE draft_cleared (
    job TEXT NOT NULL,
    form TEXT NOT NULL,
    rev INTEGER NOT NULL,
    PRIMARY KEY (job, form)
) STRICT, WITHOUT ROWID;

-- The last revision given out; one row.
CREATE TABLE draft_rev (
    rev INTEGER NOT NULL
) STRICT;

INSERT INTO draft_rev (rev) VALUES (0);

-- Secrets, as hashes; never in the record. Times are seconds since 1970, UTC.
CREATE TABLE credential (
    login TEXT PRIMARY KEY,
    password TEXT,
    pin TEXT,
    failed INTEGER NOT NULL DEFAULT 0,
    locked_until INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE session (
    token BLOB PRIMARY KEY,
    login TEXT NOT NULL,
    created INTEGER NOT NULL,
    last_seen INTEGER NOT NULL,
    expires INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX session_by_login ON session (login);

CREATE TABLE setting (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
