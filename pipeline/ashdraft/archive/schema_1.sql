-- Schema 1 of the archive; docs/archive.md describes every table.

CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    identity TEXT NOT NULL UNIQUE,
    folder TEXT NOT NULL,
    added_at TEXT NOT NULL,
    day TEXT,
    title TEXT NOT NULL,
    name TEXT, maker TEXT, obtained TEXT, cut TEXT, note TEXT, disclosure TEXT,
    length_in REAL, ring_gauge REAL,
    price REAL, currency TEXT, box_price_each REAL,
    rh_percent REAL, rest_days REAL, samples REAL,
    wrapper TEXT, binder TEXT, filler TEXT, country TEXT, format TEXT,
    smoking_minutes REAL,
    lit REAL, second_third REAL, final_third REAL, put_down REAL,
    ashdraft TEXT NOT NULL, speech_model TEXT, language_model TEXT NOT NULL, lexicon TEXT NOT NULL
);

CREATE INDEX session_by_day ON session (day);

CREATE TABLE document (
    session INTEGER PRIMARY KEY REFERENCES session (id) ON DELETE CASCADE,
    notes TEXT NOT NULL
);

CREATE TABLE recording (
    session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    file TEXT NOT NULL, sha256 TEXT NOT NULL,
    "offset" REAL NOT NULL, duration REAL NOT NULL, recorded_at TEXT,
    PRIMARY KEY (session, place)
) WITHOUT ROWID;

CREATE INDEX recording_by_sum ON recording (sha256);

CREATE TABLE utterance (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    start REAL NOT NULL, "end" REAL NOT NULL,
    heard TEXT NOT NULL, said TEXT NOT NULL, text TEXT NOT NULL,
    section TEXT NOT NULL, third INTEGER, third_basis TEXT, confidence REAL NOT NULL,
    UNIQUE (session, number),
    CHECK (id / 1000000 = session),
    CHECK (third IN (1, 2, 3))
);

CREATE TABLE descriptor (
    session INTEGER NOT NULL,
    place INTEGER NOT NULL,
    term TEXT NOT NULL, family TEXT NOT NULL,
    polarity TEXT NOT NULL, source TEXT NOT NULL, intensity TEXT NOT NULL,
    section TEXT NOT NULL, third INTEGER,
    utterance INTEGER NOT NULL, start REAL NOT NULL, quote TEXT NOT NULL,
    PRIMARY KEY (session, place),
    FOREIGN KEY (session, utterance) REFERENCES utterance (session, number) ON DELETE CASCADE,
    CHECK (third IN (1, 2, 3))
) WITHOUT ROWID;

CREATE INDEX descriptor_by_term ON descriptor (term, polarity, third, source, family);

CREATE INDEX descriptor_by_family ON descriptor (family, polarity, third, source, term);

CREATE INDEX descriptor_by_source ON descriptor (source, polarity, third);

CREATE INDEX descriptor_by_third ON descriptor (polarity, third);

CREATE INDEX descriptor_by_utterance ON descriptor (session, utterance);

CREATE TABLE event (
    session INTEGER NOT NULL,
    place INTEGER NOT NULL,
    kind TEXT NOT NULL, third INTEGER,
    utterance INTEGER NOT NULL, start REAL NOT NULL,
    PRIMARY KEY (session, place),
    FOREIGN KEY (session, utterance) REFERENCES utterance (session, number) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE INDEX event_by_utterance ON event (session, utterance);

CREATE TABLE counts (
    session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    total INTEGER, first_third INTEGER, second_third INTEGER, final_third INTEGER,
    PRIMARY KEY (session, kind)
) WITHOUT ROWID;

CREATE TABLE counts_evidence (
    session INTEGER NOT NULL,
    kind TEXT NOT NULL,
    place INTEGER NOT NULL,
    utterance INTEGER NOT NULL,
    PRIMARY KEY (session, kind, place),
    FOREIGN KEY (session, kind) REFERENCES counts (session, kind) ON DELETE CASCADE,
    FOREIGN KEY (session, utterance) REFERENCES utterance (session, number) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE INDEX counts_evidence_by_utterance ON counts_evidence (session, utterance);

CREATE TABLE spoken_mark (
    session INTEGER NOT NULL,
    place INTEGER NOT NULL,
    item TEXT NOT NULL, value REAL NOT NULL, scale REAL,
    utterance INTEGER NOT NULL,
    PRIMARY KEY (session, place),
    FOREIGN KEY (session, utterance) REFERENCES utterance (session, number) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE INDEX spoken_mark_by_item ON spoken_mark (item, value);

CREATE INDEX spoken_mark_by_utterance ON spoken_mark (session, utterance);

CREATE TABLE chapter (
    session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    start REAL NOT NULL, title TEXT NOT NULL, section TEXT NOT NULL, third INTEGER,
    PRIMARY KEY (session, place)
) WITHOUT ROWID;

CREATE TABLE repair (
    session INTEGER NOT NULL,
    place INTEGER NOT NULL,
    heard TEXT NOT NULL, meant TEXT NOT NULL,
    utterance INTEGER NOT NULL, reason TEXT NOT NULL, confidence REAL NOT NULL,
    PRIMARY KEY (session, place),
    FOREIGN KEY (session, utterance) REFERENCES utterance (session, number) ON DELETE CASCADE
) WITHOUT ROWID;

CREATE INDEX repair_by_utterance ON repair (session, utterance);

CREATE TABLE sheet (
    session INTEGER PRIMARY KEY REFERENCES session (id) ON DELETE CASCADE,
    name TEXT NOT NULL, closed INTEGER NOT NULL, total REAL
);

CREATE INDEX sheet_by_total ON sheet (total);

CREATE TABLE sheet_section (
    session INTEGER NOT NULL REFERENCES sheet (session) ON DELETE CASCADE,
    section TEXT NOT NULL,
    total REAL, weight_marked REAL,
    PRIMARY KEY (session, section)
) WITHOUT ROWID;

CREATE TABLE sheet_row (
    session INTEGER NOT NULL REFERENCES sheet (session) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    criterion TEXT NOT NULL, section TEXT NOT NULL,
    mark REAL, comment TEXT, unmarked INTEGER NOT NULL,
    PRIMARY KEY (session, place)
) WITHOUT ROWID;

CREATE INDEX sheet_row_by_mark ON sheet_row (criterion, mark);

CREATE VIRTUAL TABLE words USING fts5 (
    said, text, third,
    content = 'utterance', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2',
    prefix = '2 3'
);

CREATE TRIGGER utterance_added AFTER INSERT ON utterance BEGIN
    INSERT INTO words (rowid, said, text, third) VALUES (new.id, new.said, new.text, new.third);
END;

CREATE TRIGGER utterance_removed AFTER DELETE ON utterance BEGIN
    INSERT INTO words (words, rowid, said, text, third)
    VALUES ('delete', old.id, old.said, old.text, old.third);
END;
