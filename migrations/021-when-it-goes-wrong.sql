-- Something went wrong with a lot, or with some of its bundles. It is written down at once, and is not closed before the
-- client knows, or it is said why they cannot be told.
CREATE TABLE incident (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  kind TEXT NOT NULL CHECK (kind IN ('fetched back undyed', 'strip torn', 'bundle lost', 'bundle found again',
    'unsuitable fibre', 'damaged', 'otherwise')),
  found_at TEXT NOT NULL,
  entered_at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  what_happened TEXT NOT NULL CHECK (length(trim(what_happened)) > 0),
  closed_at TEXT,
  outcome TEXT NOT NULL DEFAULT '',
  version INTEGER NOT NULL DEFAULT 1,
  CHECK ((closed_at IS NULL) = (length(trim(outcome)) = 0))
) STRICT;
CREATE INDEX incident_lot ON incident (lot_id);
CREATE INDEX incident_open ON incident (id) WHERE closed_at IS NULL;
CREATE TRIGGER incident_as_written BEFORE UPDATE OF lot_id, kind, found_at, entered_at, worker_id, what_happened ON incident
BEGIN SELECT RAISE(ABORT, 'what went wrong is written once'); END;
CREATE TRIGGER incident_sealed BEFORE UPDATE ON incident WHEN OLD.closed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an incident that was closed does not change'); END;
CREATE TRIGGER incident_kept BEFORE DELETE ON incident
BEGIN SELECT RAISE(ABORT, 'an incident is never deleted'); END;

CREATE TABLE incident_bundle (
  incident_id INTEGER NOT NULL REFERENCES incident (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  PRIMARY KEY (incident_id, bundle_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX incident_bundle_bundle ON incident_bundle (bundle_id);
CREATE TRIGGER incident_bundle_of_lot BEFORE INSERT ON incident_bundle
WHEN (SELECT lot_id FROM bundle WHERE id = NEW.bundle_id) <> (SELECT lot_id FROM incident WHERE id = NEW.incident_id)
BEGIN SELECT RAISE(ABORT, 'an incident is about bundles of its own lot'); END;
CREATE TRIGGER incident_bundle_stays BEFORE UPDATE ON incident_bundle
BEGIN SELECT RAISE(ABORT, 'what went wrong is written once'); END;
CREATE TRIGGER incident_bundle_kept BEFORE DELETE ON incident_bundle
BEGIN SELECT RAISE(ABORT, 'what went wrong is written once'); END;

-- What was done and said about it since. `at` is when, `how` by what means.
CREATE TABLE incident_word (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  incident_id INTEGER NOT NULL REFERENCES incident (id),
  kind TEXT NOT NULL CHECK (kind IN ('client told', 'cannot be told', 'done')),
  at TEXT NOT NULL,
  entered_at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  how TEXT NOT NULL,
  words TEXT NOT NULL,
  CHECK (kind <> 'client told' OR length(trim(how)) > 0),
  CHECK (kind = 'client told' OR length(trim(words)) > 0)
) STRICT;
CREATE INDEX incident_word_incident ON incident_word (incident_id, id);
CREATE TRIGGER incident_word_stays BEFORE UPDATE ON incident_word
BEGIN SELECT RAISE(ABORT, 'what was done about an incident is append-only'); END;
CREATE TRIGGER incident_word_kept BEFORE DELETE ON incident_word
BEGIN SELECT RAISE(ABORT, 'what was done about an incident is append-only'); END;
CREATE TRIGGER incident_word_late BEFORE INSERT ON incident_word
WHEN (SELECT closed_at FROM incident WHERE id = NEW.incident_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an incident that was closed does not change'); END;

CREATE TRIGGER incident_starts_open BEFORE INSERT ON incident WHEN NEW.closed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an incident is closed after the client was told'); END;
CREATE TRIGGER incident_closes_when_told BEFORE UPDATE OF closed_at ON incident
WHEN NEW.closed_at IS NOT NULL AND NOT EXISTS (
  SELECT 1 FROM incident_word WHERE incident_id = NEW.id AND kind IN ('client told', 'cannot be told'))
BEGIN SELECT RAISE(ABORT, 'an incident is closed after the client was told'); END;

-- Fibre that was found unsuitable goes into no bath before that is settled.
CREATE TRIGGER load_bundle_suits BEFORE INSERT ON load_bundle
WHEN EXISTS (
  SELECT 1 FROM incident_bundle b JOIN incident ON incident.id = b.incident_id
  WHERE b.bundle_id = NEW.bundle_id AND incident.kind = 'unsuitable fibre' AND incident.closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'fibre that was found unsuitable goes into no bath'); END;
