-- The workshop's own settings: one row, made at set-up.
CREATE TABLE workshop (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  name TEXT NOT NULL,
  weight_unit TEXT NOT NULL CHECK (weight_unit IN ('metric', 'pounds')),
  volume_unit TEXT NOT NULL CHECK (volume_unit IN ('metric', 'us', 'imperial')),
  time_zone TEXT NOT NULL,
  dry_basis TEXT NOT NULL CHECK (dry_basis IN ('oven-dry', 'conditioned')),
  scale_step_g REAL NOT NULL CHECK (scale_step_g > 0),
  slip_paper TEXT NOT NULL CHECK (slip_paper IN ('A5', 'Letter')),
  slip_words TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;

-- Whoever works here and signs in; their name stands in the history.
CREATE TABLE worker (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
  passphrase_hash TEXT NOT NULL,
  made_at TEXT NOT NULL
) STRICT;

-- A signed-in browser. Only the hash of its random token is kept.
CREATE TABLE session (
  token_hash TEXT PRIMARY KEY,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  made_at TEXT NOT NULL,
  seen_at TEXT NOT NULL,
  ends_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_worker ON session (worker_id);

-- One row for every form that was carried out, by its one-time key, so that a second press finds the first one's answer.
CREATE TABLE press (
  key TEXT PRIMARY KEY CHECK (length(key) BETWEEN 16 AND 64),
  at TEXT NOT NULL,
  body_hash TEXT NOT NULL,
  location TEXT NOT NULL
) STRICT, WITHOUT ROWID;
