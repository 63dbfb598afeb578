-- Named spots on the shelves and the line. A workshop that wants none has none, and is asked nothing.
CREATE TABLE spot (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  place TEXT NOT NULL CHECK (place IN ('arrivals shelf', 'drying line', 'ready shelf')),
  name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) BETWEEN 1 AND 60),
  made_at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  withdrawn_at TEXT
) STRICT;
CREATE TRIGGER spot_kept BEFORE DELETE ON spot BEGIN SELECT RAISE(ABORT, 'a spot is never deleted'); END;
CREATE TRIGGER spot_as_named BEFORE UPDATE OF id, place, name, made_at, worker_id ON spot
BEGIN SELECT RAISE(ABORT, 'a spot keeps its name and its place'); END;

ALTER TABLE bundle ADD COLUMN spot_id INTEGER REFERENCES spot (id);
CREATE INDEX bundle_spot ON bundle (spot_id) WHERE spot_id IS NOT NULL;
CREATE INDEX bundle_gone ON bundle (place) WHERE place IN ('handed back', 'not found');

CREATE TRIGGER spot_empty BEFORE UPDATE OF withdrawn_at ON spot
WHEN NEW.withdrawn_at IS NOT NULL AND EXISTS (SELECT 1 FROM bundle WHERE spot_id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'a spot on which bundles lie stays in use'); END;
CREATE TRIGGER bundle_spot_of_place BEFORE UPDATE OF spot_id ON bundle
WHEN NEW.spot_id IS NOT NULL AND NOT EXISTS (
  SELECT 1 FROM spot WHERE id = NEW.spot_id AND place = NEW.place AND withdrawn_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a bundle lies on a spot of its own place'); END;
CREATE TRIGGER bundle_arrives_at_no_spot BEFORE INSERT ON bundle WHEN NEW.spot_id IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a bundle is put on a spot after it came'); END;

-- Each change of spot, for ever. What a bundle leaves by going to another place is written by the two triggers below.
CREATE TABLE spot_move (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  from_spot_id INTEGER REFERENCES spot (id),
  to_spot_id INTEGER REFERENCES spot (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  why TEXT NOT NULL,
  CHECK (from_spot_id IS NOT to_spot_id)
) STRICT;
CREATE INDEX spot_move_bundle ON spot_move (bundle_id, id);
CREATE TRIGGER spot_move_stays BEFORE UPDATE ON spot_move
BEGIN SELECT RAISE(ABORT, 'changes of spot are append-only'); END;
CREATE TRIGGER spot_move_kept BEFORE DELETE ON spot_move
BEGIN SELECT RAISE(ABORT, 'changes of spot are append-only'); END;
CREATE TRIGGER spot_move_follows BEFORE INSERT ON spot_move
WHEN NEW.from_spot_id IS NOT
  (SELECT to_spot_id FROM spot_move WHERE bundle_id = NEW.bundle_id ORDER BY id DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'a change of spot begins where the one before ended'); END;

-- A bundle that goes to another place leaves its spot. One that is handed back does so in the same statement, since it is
-- sealed afterwards.
CREATE TRIGGER bundle_leaves_spot AFTER UPDATE OF place ON bundle
WHEN NEW.place <> OLD.place AND NEW.spot_id IS NOT NULL AND NEW.spot_id IS OLD.spot_id
BEGIN UPDATE bundle SET spot_id = NULL WHERE id = NEW.id; END;
CREATE TRIGGER move_leaves_spot AFTER INSERT ON move WHEN NEW.from_place IS NOT NEW.to_place
BEGIN
  INSERT INTO spot_move (bundle_id, from_spot_id, to_spot_id, at, worker_id, why)
    SELECT bundle_id, to_spot_id, NULL, NEW.at, NEW.worker_id, 'moved to: ' || NEW.to_place
    FROM spot_move WHERE id = (SELECT max(id) FROM spot_move WHERE bundle_id = NEW.bundle_id) AND to_spot_id IS NOT NULL;
END;

-- A count of what really lies on a shelf, or on one spot of it. `listed` is how many bundles its list has.
CREATE TABLE shelf_count (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  place TEXT NOT NULL CHECK (place IN ('arrivals shelf', 'drying line', 'ready shelf')),
  spot_id INTEGER REFERENCES spot (id),
  listed INTEGER NOT NULL CHECK (listed >= 0),
  begun_at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  ended_at TEXT,
  ended_by INTEGER REFERENCES worker (id),
  CHECK ((ended_at IS NULL) = (ended_by IS NULL))
) STRICT;
CREATE UNIQUE INDEX shelf_count_open ON shelf_count (place) WHERE ended_at IS NULL;
CREATE TRIGGER shelf_count_kept BEFORE DELETE ON shelf_count
BEGIN SELECT RAISE(ABORT, 'a shelf count is never deleted'); END;
CREATE TRIGGER shelf_count_as_begun BEFORE UPDATE OF id, place, spot_id, listed, begun_at, worker_id ON shelf_count
BEGIN SELECT RAISE(ABORT, 'a shelf count stays as it was begun'); END;
CREATE TRIGGER shelf_count_of_place BEFORE INSERT ON shelf_count
WHEN NEW.spot_id IS NOT NULL AND (SELECT place FROM spot WHERE id = NEW.spot_id) IS NOT NEW.place
BEGIN SELECT RAISE(ABORT, 'a shelf count is of a spot of its own place'); END;
CREATE TRIGGER shelf_count_sealed BEFORE UPDATE ON shelf_count WHEN OLD.ended_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a shelf count that is done does not change'); END;
CREATE TRIGGER shelf_count_whole BEFORE UPDATE OF ended_at ON shelf_count
WHEN NEW.ended_at IS NOT NULL AND EXISTS (
  SELECT 1 FROM shelf_count_bundle l WHERE l.count_id = NEW.id AND NOT EXISTS (
    SELECT 1 FROM shelf_count_finding f WHERE f.count_id = NEW.id AND f.bundle_id = l.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a shelf count says of each listed bundle what was found'); END;

-- What the records said at its start; nothing is added to it afterwards.
CREATE TABLE shelf_count_bundle (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  count_id INTEGER NOT NULL REFERENCES shelf_count (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  UNIQUE (count_id, bundle_id)
) STRICT;
CREATE TRIGGER shelf_count_bundle_stays BEFORE UPDATE ON shelf_count_bundle
BEGIN SELECT RAISE(ABORT, 'the list of a shelf count is made at its start'); END;
CREATE TRIGGER shelf_count_bundle_kept BEFORE DELETE ON shelf_count_bundle
BEGIN SELECT RAISE(ABORT, 'the list of a shelf count is made at its start'); END;
CREATE TRIGGER shelf_count_bundle_late BEFORE INSERT ON shelf_count_bundle
WHEN (SELECT count(*) FROM shelf_count_bundle WHERE count_id = NEW.count_id)
  >= (SELECT listed FROM shelf_count WHERE id = NEW.count_id)
BEGIN SELECT RAISE(ABORT, 'the list of a shelf count is made at its start'); END;

-- What was seen during it, or was ticked and then not seen after all: the newest line of a bundle counts.
CREATE TABLE shelf_count_seen (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  count_id INTEGER NOT NULL REFERENCES shelf_count (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  seen INTEGER NOT NULL CHECK (seen IN (0, 1)),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE INDEX shelf_count_seen_count ON shelf_count_seen (count_id, bundle_id, id);
CREATE TRIGGER shelf_count_seen_stays BEFORE UPDATE ON shelf_count_seen
BEGIN SELECT RAISE(ABORT, 'what was seen is append-only'); END;
CREATE TRIGGER shelf_count_seen_kept BEFORE DELETE ON shelf_count_seen
BEGIN SELECT RAISE(ABORT, 'what was seen is append-only'); END;
CREATE TRIGGER shelf_count_seen_late BEFORE INSERT ON shelf_count_seen
WHEN (SELECT ended_at FROM shelf_count WHERE id = NEW.count_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a shelf count that is done does not change'); END;

-- What came of it, bundle by bundle, written when it ends.
CREATE TABLE shelf_count_finding (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  count_id INTEGER NOT NULL REFERENCES shelf_count (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  finding TEXT NOT NULL CHECK (finding IN ('fine', 'missing', 'unexpected', 'moved since')),
  UNIQUE (count_id, bundle_id)
) STRICT;
CREATE INDEX shelf_count_finding_bundle ON shelf_count_finding (bundle_id);
CREATE INDEX shelf_count_question ON shelf_count_finding (id) WHERE finding IN ('missing', 'unexpected');
CREATE TRIGGER shelf_count_finding_stays BEFORE UPDATE ON shelf_count_finding
BEGIN SELECT RAISE(ABORT, 'what a shelf count found is append-only'); END;
CREATE TRIGGER shelf_count_finding_kept BEFORE DELETE ON shelf_count_finding
BEGIN SELECT RAISE(ABORT, 'what a shelf count found is append-only'); END;
CREATE TRIGGER shelf_count_finding_late BEFORE INSERT ON shelf_count_finding
WHEN (SELECT ended_at FROM shelf_count WHERE id = NEW.count_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a shelf count that is done does not change'); END;

-- The answer to what was missing or unexpected, once.
CREATE TABLE shelf_count_answer (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  finding_id INTEGER NOT NULL UNIQUE REFERENCES shelf_count_finding (id),
  answer TEXT NOT NULL,                  -- which ones there are: see shelf_count_answer_fits
  words TEXT NOT NULL,
  incident_id INTEGER REFERENCES incident (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  CHECK ((answer = 'lost') = (incident_id IS NOT NULL)),
  CHECK (answer NOT IN ('found', 'explained') OR length(trim(words)) > 0)
) STRICT;
CREATE TRIGGER shelf_count_answer_stays BEFORE UPDATE ON shelf_count_answer
BEGIN SELECT RAISE(ABORT, 'an answer to a shelf count is append-only'); END;
CREATE TRIGGER shelf_count_answer_kept BEFORE DELETE ON shelf_count_answer
BEGIN SELECT RAISE(ABORT, 'an answer to a shelf count is append-only'); END;
CREATE TRIGGER shelf_count_answer_fits BEFORE INSERT ON shelf_count_answer
WHEN NOT EXISTS (
  SELECT 1 FROM shelf_count_finding f WHERE f.id = NEW.finding_id AND (
    (f.finding = 'missing' AND NEW.answer IN ('found', 'lost', 'explained'))
    OR (f.finding = 'unexpected' AND NEW.answer IN ('put here', 'put back', 'explained'))))
BEGIN SELECT RAISE(ABORT, 'an answer fits what was found'); END;
