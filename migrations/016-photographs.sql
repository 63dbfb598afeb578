-- A photograph of a lot or of one of its bundles, as it came, at the pot or as it goes. The picture lies beside the database
-- under the hash of its bytes; a withdrawn one is removed there, and its row stays and says why.
CREATE TABLE photograph (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  hash TEXT NOT NULL CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'),
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  bundle_id INTEGER REFERENCES bundle (id),   -- null: of the whole lot
  moment TEXT NOT NULL CHECK (moment IN ('as it came', 'at the pot', 'as it goes')),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  width_px INTEGER NOT NULL CHECK (width_px > 0),
  height_px INTEGER NOT NULL CHECK (height_px > 0),
  bytes INTEGER NOT NULL CHECK (bytes > 0),
  words TEXT NOT NULL,
  withdrawn_at TEXT,
  withdrawn_by INTEGER REFERENCES worker (id),
  withdrawn_why TEXT CHECK (withdrawn_why IS NULL OR length(trim(withdrawn_why)) > 0),
  CHECK ((withdrawn_at IS NULL) = (withdrawn_by IS NULL)),
  CHECK ((withdrawn_at IS NULL) = (withdrawn_why IS NULL))
) STRICT;
CREATE INDEX photograph_lot ON photograph (lot_id, id);
CREATE INDEX photograph_hash ON photograph (hash) WHERE withdrawn_at IS NULL;

CREATE TRIGGER photograph_needs_a_yes BEFORE INSERT ON photograph
WHEN NOT EXISTS (
  SELECT 1 FROM lot JOIN commission ON commission.id = lot.commission_id JOIN client ON client.id = commission.client_id
  WHERE lot.id = NEW.lot_id AND client.photographs IN ('yes', 'yes, not to show'))
BEGIN SELECT RAISE(ABORT, 'the client has not said yes to photographs'); END;
CREATE TRIGGER photograph_of_lot BEFORE INSERT ON photograph
WHEN NEW.bundle_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM bundle WHERE id = NEW.bundle_id AND lot_id = NEW.lot_id)
BEGIN SELECT RAISE(ABORT, 'a photograph is of a bundle of its lot'); END;
CREATE TRIGGER photograph_starts_kept BEFORE INSERT ON photograph WHEN NEW.withdrawn_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a photograph is kept before it is withdrawn'); END;
-- It is withdrawn once. Its words may be emptied, as when a client is erased; nothing else about it changes.
CREATE TRIGGER photograph_stays BEFORE UPDATE ON photograph
WHEN NEW.id <> OLD.id OR NEW.hash <> OLD.hash OR NEW.lot_id <> OLD.lot_id OR NEW.bundle_id IS NOT OLD.bundle_id
  OR NEW.moment <> OLD.moment OR NEW.at <> OLD.at OR NEW.worker_id <> OLD.worker_id OR NEW.width_px <> OLD.width_px
  OR NEW.height_px <> OLD.height_px OR NEW.bytes <> OLD.bytes OR NEW.words NOT IN (OLD.words, '')
  OR (OLD.withdrawn_at IS NOT NULL AND (NEW.withdrawn_at IS NOT OLD.withdrawn_at
    OR NEW.withdrawn_by IS NOT OLD.withdrawn_by OR NEW.withdrawn_why NOT IN (OLD.withdrawn_why, 'the client was erased')))
BEGIN SELECT RAISE(ABORT, 'a photograph is only ever withdrawn'); END;
CREATE TRIGGER photograph_kept BEFORE DELETE ON photograph
BEGIN SELECT RAISE(ABORT, 'what was photographed stays written down'); END;

-- How a lot or a bundle looked, in words: where a client wants no photographs, and wherever words say more.
CREATE TABLE description (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  bundle_id INTEGER REFERENCES bundle (id),
  moment TEXT NOT NULL CHECK (moment IN ('as it came', 'at the pot', 'as it goes')),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  words TEXT NOT NULL CHECK (length(trim(words)) > 0)
) STRICT;
CREATE INDEX description_lot ON description (lot_id, id);
CREATE TRIGGER description_of_lot BEFORE INSERT ON description
WHEN NEW.bundle_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM bundle WHERE id = NEW.bundle_id AND lot_id = NEW.lot_id)
BEGIN SELECT RAISE(ABORT, 'a description is of a bundle of its lot'); END;
CREATE TRIGGER description_stays BEFORE UPDATE ON description
BEGIN SELECT RAISE(ABORT, 'how it looked is append-only'); END;
CREATE TRIGGER description_kept BEFORE DELETE ON description
BEGIN SELECT RAISE(ABORT, 'how it looked is append-only'); END;

-- Which photographs the workshop wants to be reminded of, where the client has said yes.
CREATE TABLE photograph_setting (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  wanted TEXT NOT NULL CHECK (wanted IN ('none', 'as it came', 'as it came and as it goes')),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO photograph_setting (id, wanted) VALUES (1, 'as it came');
