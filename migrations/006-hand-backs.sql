-- The checklist while it is being filled in: one row for each bundle that was looked at.
CREATE TABLE bundle_check (
  bundle_id INTEGER PRIMARY KEY REFERENCES bundle (id),
  found INTEGER NOT NULL CHECK (found IN (0, 1)),
  tied_again INTEGER NOT NULL CHECK (tied_again IN (0, 1)),
  ties_back INTEGER NOT NULL CHECK (ties_back >= 0),
  ties_replaced INTEGER NOT NULL CHECK (ties_replaced >= 0),
  weight_g REAL CHECK (weight_g > 0),
  weight_typed TEXT NOT NULL,
  condition TEXT NOT NULL,
  explanation TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;

CREATE TABLE hand_back (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  to_whom TEXT NOT NULL CHECK (length(to_whom) > 0),
  words TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  at TEXT NOT NULL,
  closed INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1))
) STRICT;
CREATE INDEX hand_back_commission ON hand_back (commission_id);

CREATE TABLE hand_back_lot (
  hand_back_id INTEGER NOT NULL REFERENCES hand_back (id),
  lot_id INTEGER NOT NULL UNIQUE REFERENCES lot (id),
  PRIMARY KEY (hand_back_id, lot_id)
) STRICT, WITHOUT ROWID;

-- What went back, bundle by bundle. A tie that is neither back nor replaced, and a bundle that is not here, carry words.
CREATE TABLE hand_back_bundle (
  hand_back_id INTEGER NOT NULL REFERENCES hand_back (id),
  bundle_id INTEGER NOT NULL UNIQUE REFERENCES bundle (id),
  found INTEGER NOT NULL CHECK (found IN (0, 1)),
  tied_again INTEGER NOT NULL CHECK (tied_again IN (0, 1)),
  ties_in INTEGER NOT NULL,
  ties_back INTEGER NOT NULL CHECK (ties_back >= 0),
  ties_replaced INTEGER NOT NULL CHECK (ties_replaced >= 0),
  weight_g REAL CHECK (weight_g > 0),
  weight_typed TEXT NOT NULL,
  condition TEXT NOT NULL,
  explanation TEXT NOT NULL,
  PRIMARY KEY (hand_back_id, bundle_id),
  CHECK (ties_back + ties_replaced <= ties_in),
  CHECK (found = 1 OR (ties_back = 0 AND ties_replaced = 0 AND tied_again = 0)),
  CHECK ((found = 1 AND tied_again = 1 AND ties_back + ties_replaced = ties_in) OR length(trim(explanation)) > 0)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER hand_back_bundle_ties BEFORE INSERT ON hand_back_bundle
WHEN NEW.ties_in <> (SELECT ties_in FROM bundle WHERE id = NEW.bundle_id)
BEGIN SELECT RAISE(ABORT, 'the ties taken in are those of the bundle'); END;

-- It closes only when every bundle of every lot in it is accounted for, and then it is sealed.
CREATE TRIGGER hand_back_adds_up BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND EXISTS (
  SELECT 1 FROM hand_back_lot JOIN bundle ON bundle.lot_id = hand_back_lot.lot_id
  WHERE hand_back_lot.hand_back_id = NEW.id
    AND NOT EXISTS (SELECT 1 FROM hand_back_bundle b WHERE b.hand_back_id = NEW.id AND b.bundle_id = bundle.id))
BEGIN SELECT RAISE(ABORT, 'a bundle of this hand-back is not accounted for'); END;
CREATE TRIGGER hand_back_not_empty BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND NOT EXISTS (SELECT 1 FROM hand_back_bundle WHERE hand_back_id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'a hand-back without bundles does not close'); END;
CREATE TRIGGER hand_back_starts_open BEFORE INSERT ON hand_back WHEN NEW.closed = 1
BEGIN SELECT RAISE(ABORT, 'a hand-back is closed after its bundles are written'); END;
CREATE TRIGGER hand_back_sealed BEFORE UPDATE ON hand_back WHEN OLD.closed = 1
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;
CREATE TRIGGER hand_back_kept BEFORE DELETE ON hand_back
BEGIN SELECT RAISE(ABORT, 'a hand-back is never deleted'); END;
CREATE TRIGGER hand_back_bundle_sealed BEFORE UPDATE ON hand_back_bundle
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_bundle_kept BEFORE DELETE ON hand_back_bundle
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_bundle_late BEFORE INSERT ON hand_back_bundle
WHEN (SELECT closed FROM hand_back WHERE id = NEW.hand_back_id) = 1
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;

-- A bundle leaves only through a closed hand-back, and does not come back by an edit.
CREATE TRIGGER bundle_leaves BEFORE UPDATE OF place ON bundle
WHEN NEW.place IN ('handed back', 'not found') AND NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b JOIN hand_back h ON h.id = b.hand_back_id
  WHERE b.bundle_id = NEW.id AND h.closed = 1 AND b.found = (NEW.place = 'handed back'))
BEGIN SELECT RAISE(ABORT, 'a bundle leaves only through a closed hand-back'); END;
CREATE TRIGGER bundle_gone BEFORE UPDATE ON bundle WHEN OLD.place = 'handed back'
BEGIN SELECT RAISE(ABORT, 'a bundle that was handed back does not change'); END;
CREATE TRIGGER bundle_arrives BEFORE INSERT ON bundle WHEN NEW.place <> 'arrivals shelf' OR NEW.ties_on <> NEW.ties_in
BEGIN SELECT RAISE(ABORT, 'a bundle starts on the arrivals shelf with all its ties'); END;
CREATE TRIGGER lot_closes BEFORE UPDATE OF closed_at ON lot
WHEN NEW.closed_at IS NOT NULL AND EXISTS (
  SELECT 1 FROM bundle WHERE lot_id = NEW.id AND place NOT IN ('handed back', 'not found'))
BEGIN SELECT RAISE(ABORT, 'a lot closes when all its bundles have gone back or are explained'); END;
CREATE TRIGGER lot_sealed BEFORE UPDATE ON lot WHEN OLD.closed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a lot that was handed back does not change'); END;
