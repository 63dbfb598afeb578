-- An artist, a teacher or a group that owns fibre. `mark` tells two of one name apart, and can stand on a tag instead of a name.
CREATE TABLE client (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
  name_folded TEXT NOT NULL,
  mark TEXT NOT NULL,
  contact TEXT NOT NULL,
  settles TEXT NOT NULL CHECK (settles IN ('paid', 'trade', 'gift')),
  wishes TEXT NOT NULL,
  photographs TEXT NOT NULL CHECK (photographs IN ('not asked', 'yes', 'yes, not to show', 'no')),
  note TEXT NOT NULL,
  made_at TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE INDEX client_name ON client (name_folded, id);

-- What was changed about a client. Kept apart from the lots' history, so that a person can be erased and the lots keep theirs.
CREATE TABLE client_change (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id INTEGER NOT NULL REFERENCES client (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  what TEXT NOT NULL,
  was TEXT NOT NULL CHECK (json_valid(was)),
  became TEXT NOT NULL CHECK (json_valid(became))
) STRICT;
CREATE INDEX client_change_client ON client_change (client_id, id);
CREATE TRIGGER client_change_stays BEFORE UPDATE ON client_change
BEGIN SELECT RAISE(ABORT, 'the history of a client is append-only'); END;
