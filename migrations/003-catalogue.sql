-- Fibres, substances and rules of the trade, each a JSON document of labelled figures with their provenance.
CREATE TABLE catalogue (
  id TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 80),
  kind TEXT NOT NULL CHECK (kind IN ('fibre', 'substance', 'rule')),
  name TEXT NOT NULL,
  entry TEXT NOT NULL CHECK (json_valid(entry)),
  version INTEGER NOT NULL DEFAULT 1,
  withdrawn_at TEXT
) STRICT;
CREATE INDEX catalogue_kind ON catalogue (kind, name);

-- Every wording an entry ever had: an old recipe can be held against the figures of its day.
CREATE TABLE catalogue_change (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  entry_id TEXT NOT NULL REFERENCES catalogue (id),
  at TEXT NOT NULL,
  worker_id INTEGER REFERENCES worker (id),
  why TEXT NOT NULL,
  was TEXT CHECK (was IS NULL OR json_valid(was)),
  became TEXT NOT NULL CHECK (json_valid(became))
) STRICT;
CREATE INDEX catalogue_change_entry ON catalogue_change (entry_id, id);
CREATE TRIGGER catalogue_change_stays BEFORE UPDATE ON catalogue_change
BEGIN SELECT RAISE(ABORT, 'the history of the catalogue is append-only'); END;
CREATE TRIGGER catalogue_change_kept BEFORE DELETE ON catalogue_change
BEGIN SELECT RAISE(ABORT, 'the history of the catalogue is append-only'); END;
