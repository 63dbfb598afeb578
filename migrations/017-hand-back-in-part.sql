-- A lot may go back in parts: the rest stays, with a day or with words, and the lot closes when its last bundle is gone.
-- Two tables are made anew without the keys that allowed one hand-back for a lot and one row for a bundle.
DROP TRIGGER hand_back_adds_up;
DROP TRIGGER bundle_leaves;
DROP TRIGGER bundle_leaves_with_its_ties;
DROP TRIGGER lot_sealed;

CREATE TABLE kept_lot AS SELECT * FROM hand_back_lot;
DROP TABLE hand_back_lot;
CREATE TABLE hand_back_lot (
  hand_back_id INTEGER NOT NULL REFERENCES hand_back (id),
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  stays_until TEXT CHECK (stays_until GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  stays_words TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (hand_back_id, lot_id)
) STRICT, WITHOUT ROWID;
INSERT INTO hand_back_lot (hand_back_id, lot_id) SELECT hand_back_id, lot_id FROM kept_lot;
DROP TABLE kept_lot;
CREATE INDEX hand_back_lot_lot ON hand_back_lot (lot_id);

-- `tag_code`: the tag by which the bundle was told from the others; '' = by its number and its ties.
CREATE TABLE kept_bundle AS SELECT * FROM hand_back_bundle;
DROP TABLE hand_back_bundle;
CREATE TABLE hand_back_bundle (
  hand_back_id INTEGER NOT NULL REFERENCES hand_back (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  found INTEGER NOT NULL CHECK (found IN (0, 1)),
  tied_again INTEGER NOT NULL CHECK (tied_again IN (0, 1)),
  ties_in INTEGER NOT NULL,
  ties_back INTEGER NOT NULL CHECK (ties_back >= 0),
  ties_replaced INTEGER NOT NULL CHECK (ties_replaced >= 0),
  weight_g REAL CHECK (weight_g > 0),
  weight_typed TEXT NOT NULL,
  condition TEXT NOT NULL,
  explanation TEXT NOT NULL,
  tag_code TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (hand_back_id, bundle_id),
  CHECK (ties_back + ties_replaced <= ties_in),
  CHECK (found = 1 OR (ties_back = 0 AND ties_replaced = 0 AND tied_again = 0)),
  CHECK ((found = 1 AND tied_again = 1 AND ties_back + ties_replaced = ties_in) OR length(trim(explanation)) > 0)
) STRICT, WITHOUT ROWID;
INSERT INTO hand_back_bundle (hand_back_id, bundle_id, found, tied_again, ties_in, ties_back, ties_replaced, weight_g,
  weight_typed, condition, explanation)
SELECT hand_back_id, bundle_id, found, tied_again, ties_in, ties_back, ties_replaced, weight_g,
  weight_typed, condition, explanation FROM kept_bundle;
DROP TABLE kept_bundle;
CREATE INDEX hand_back_bundle_bundle ON hand_back_bundle (bundle_id);
CREATE UNIQUE INDEX hand_back_bundle_back ON hand_back_bundle (bundle_id) WHERE found = 1;

ALTER TABLE bundle_check ADD COLUMN tag_code TEXT NOT NULL DEFAULT '';

-- A bundle that stands on a slip as not found, and was found after all: it goes back on a slip of its own.
CREATE TABLE found_again (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  hand_back_id INTEGER NOT NULL,
  bundle_id INTEGER NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  words TEXT NOT NULL CHECK (length(trim(words)) > 0),
  UNIQUE (hand_back_id, bundle_id),
  FOREIGN KEY (hand_back_id, bundle_id) REFERENCES hand_back_bundle (hand_back_id, bundle_id)
) STRICT;
CREATE INDEX found_again_bundle ON found_again (bundle_id);
CREATE TRIGGER found_again_of_lost BEFORE INSERT ON found_again
WHEN NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b JOIN hand_back h ON h.id = b.hand_back_id JOIN bundle ON bundle.id = b.bundle_id
  WHERE b.hand_back_id = NEW.hand_back_id AND b.bundle_id = NEW.bundle_id
    AND b.found = 0 AND h.closed = 1 AND bundle.place = 'not found')
BEGIN SELECT RAISE(ABORT, 'only a bundle that is not found can be found again'); END;
CREATE TRIGGER found_again_stays BEFORE UPDATE ON found_again
BEGIN SELECT RAISE(ABORT, 'what was found again is append-only'); END;
CREATE TRIGGER found_again_kept BEFORE DELETE ON found_again
BEGIN SELECT RAISE(ABORT, 'what was found again is append-only'); END;

-- The rules of 006 and 008 for the two tables, word for word where nothing else is said.
CREATE TRIGGER hand_back_lot_of_commission BEFORE INSERT ON hand_back_lot
WHEN NOT EXISTS (
  SELECT 1 FROM lot JOIN hand_back h ON h.commission_id = lot.commission_id
  WHERE lot.id = NEW.lot_id AND h.id = NEW.hand_back_id AND h.closed = 0 AND lot.closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'an open lot goes back with a hand-back of its own commission that is not closed'); END;
CREATE TRIGGER hand_back_lot_sealed BEFORE UPDATE ON hand_back_lot
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_lot_kept BEFORE DELETE ON hand_back_lot
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;

CREATE TRIGGER hand_back_bundle_ties BEFORE INSERT ON hand_back_bundle
WHEN NEW.ties_in <> (SELECT ties_in FROM bundle WHERE id = NEW.bundle_id)
BEGIN SELECT RAISE(ABORT, 'the ties taken in are those of the bundle'); END;
CREATE TRIGGER hand_back_bundle_sealed BEFORE UPDATE ON hand_back_bundle
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_bundle_kept BEFORE DELETE ON hand_back_bundle
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_bundle_late BEFORE INSERT ON hand_back_bundle
WHEN (SELECT closed FROM hand_back WHERE id = NEW.hand_back_id) = 1
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;
CREATE TRIGGER hand_back_bundle_of_lot BEFORE INSERT ON hand_back_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM bundle JOIN hand_back_lot l ON l.lot_id = bundle.lot_id
  WHERE bundle.id = NEW.bundle_id AND l.hand_back_id = NEW.hand_back_id)
BEGIN SELECT RAISE(ABORT, 'a bundle goes back with its lot'); END;
-- Once handed back, it is gone; once given up as not found, it must be found before it stands on another slip.
CREATE TRIGGER hand_back_bundle_once BEFORE INSERT ON hand_back_bundle
WHEN EXISTS (
  SELECT 1 FROM hand_back_bundle b WHERE b.bundle_id = NEW.bundle_id AND (b.found = 1 OR NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id)))
BEGIN SELECT RAISE(ABORT, 'a bundle goes back once'); END;

-- Every bundle of its lots goes back, is explained, has gone before, or stays with a day or words.
CREATE TRIGGER hand_back_adds_up BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND EXISTS (
  SELECT 1 FROM hand_back_lot l JOIN bundle ON bundle.lot_id = l.lot_id
  WHERE l.hand_back_id = NEW.id AND l.stays_until IS NULL AND trim(l.stays_words) = ''
    AND bundle.place NOT IN ('handed back', 'not found')
    AND NOT EXISTS (SELECT 1 FROM hand_back_bundle b WHERE b.hand_back_id = NEW.id AND b.bundle_id = bundle.id))
BEGIN SELECT RAISE(ABORT, 'a bundle of this hand-back is not accounted for'); END;
CREATE TRIGGER hand_back_lot_not_empty BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND EXISTS (
  SELECT 1 FROM hand_back_lot l WHERE l.hand_back_id = NEW.id AND NOT EXISTS (
    SELECT 1 FROM hand_back_bundle b JOIN bundle ON bundle.id = b.bundle_id
    WHERE b.hand_back_id = NEW.id AND bundle.lot_id = l.lot_id))
BEGIN SELECT RAISE(ABORT, 'a lot of which nothing goes back is no part of a hand-back'); END;

-- A bundle leaves only through a closed hand-back that still holds for it, with the ties that were counted there.
CREATE TRIGGER bundle_leaves BEFORE UPDATE OF place ON bundle
WHEN NEW.place IN ('handed back', 'not found') AND NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b JOIN hand_back h ON h.id = b.hand_back_id
  WHERE b.bundle_id = NEW.id AND h.closed = 1 AND b.found = (NEW.place = 'handed back') AND NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a bundle leaves only through a closed hand-back'); END;
CREATE TRIGGER bundle_leaves_with_its_ties BEFORE UPDATE OF place ON bundle
WHEN NEW.place IN ('handed back', 'not found') AND NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b
  WHERE b.bundle_id = NEW.id AND NEW.ties_off = 0 AND NEW.ties_on = b.ties_back + b.ties_replaced AND NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a bundle leaves with the ties that were counted back'); END;
CREATE TRIGGER bundle_not_found BEFORE UPDATE ON bundle
WHEN OLD.place = 'not found' AND EXISTS (
  SELECT 1 FROM hand_back_bundle b WHERE b.bundle_id = OLD.id AND NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a bundle that is not found does not change until it is found again'); END;
-- A closed lot opens again only for a bundle that was found again.
CREATE TRIGGER lot_sealed BEFORE UPDATE ON lot
WHEN OLD.closed_at IS NOT NULL AND (NEW.closed_at IS NOT NULL OR NOT EXISTS (
  SELECT 1 FROM bundle JOIN hand_back_bundle b ON b.bundle_id = bundle.id
    JOIN found_again f ON f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id
  WHERE bundle.lot_id = OLD.id AND bundle.place = 'not found'
    AND b.hand_back_id = (SELECT max(hand_back_id) FROM hand_back_bundle WHERE bundle_id = bundle.id)))
BEGIN SELECT RAISE(ABORT, 'a lot that was handed back does not change'); END;

-- Names, wishes and signatures stand by themselves: a person may ask for them to be erased, and the counts stay.
CREATE TABLE hand_back_person (
  hand_back_id INTEGER PRIMARY KEY REFERENCES hand_back (id),
  to_whom TEXT NOT NULL CHECK (length(to_whom) > 0),
  authority TEXT NOT NULL,
  client_name TEXT NOT NULL,
  client_mark TEXT NOT NULL,
  wishes TEXT NOT NULL,
  signature TEXT NOT NULL CHECK (signature NOT GLOB '*[^ML0-9 ]*')
) STRICT;
INSERT INTO hand_back_person (hand_back_id, to_whom, authority, client_name, client_mark, wishes, signature)
SELECT h.id, h.to_whom, '', client.name, client.mark, client.wishes, ''
FROM hand_back h JOIN commission ON commission.id = h.commission_id JOIN client ON client.id = commission.client_id;
ALTER TABLE hand_back DROP COLUMN to_whom;

-- `receiver`: the client, or another who needs an authority. `facts`: what the slip prints, as it stood that day (JSON);
-- null for a slip from before, which is read from the records.
ALTER TABLE hand_back ADD COLUMN receiver TEXT NOT NULL DEFAULT 'client' CHECK (receiver IN ('client', 'another'));
ALTER TABLE hand_back ADD COLUMN how TEXT NOT NULL DEFAULT 'in person' CHECK (how IN ('in person', 'by carrier'));
ALTER TABLE hand_back ADD COLUMN reference TEXT NOT NULL DEFAULT ''
  CHECK (how <> 'by carrier' OR length(trim(reference)) > 0);
ALTER TABLE hand_back ADD COLUMN acknowledged TEXT NOT NULL DEFAULT 'on paper'
  CHECK (acknowledged IN ('on paper', 'on the screen', 'not signed'));
ALTER TABLE hand_back ADD COLUMN not_signed_because TEXT NOT NULL DEFAULT ''
  CHECK (acknowledged <> 'not signed' OR length(trim(not_signed_because)) > 0);
ALTER TABLE hand_back ADD COLUMN facts TEXT CHECK (facts IS NULL OR json_valid(facts));

CREATE TRIGGER hand_back_has_receiver BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND NOT EXISTS (SELECT 1 FROM hand_back_person WHERE hand_back_id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'a hand-back says who received the bundles'); END;
CREATE TRIGGER hand_back_authority BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND NEW.receiver = 'another' AND EXISTS (
  SELECT 1 FROM hand_back_person WHERE hand_back_id = NEW.id AND trim(authority) = '')
BEGIN SELECT RAISE(ABORT, 'somebody else receives bundles only with an authority'); END;
CREATE TRIGGER hand_back_signature BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND NEW.acknowledged = 'on the screen' AND EXISTS (
  SELECT 1 FROM hand_back_person WHERE hand_back_id = NEW.id AND signature = '')
BEGIN SELECT RAISE(ABORT, 'what is signed on the screen has a signature'); END;
CREATE TRIGGER hand_back_person_stays BEFORE UPDATE ON hand_back_person
BEGIN SELECT RAISE(ABORT, 'who received the bundles is written once'); END;
CREATE TRIGGER hand_back_person_late BEFORE INSERT ON hand_back_person
WHEN (SELECT closed FROM hand_back WHERE id = NEW.hand_back_id) = 1
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;
-- Erased as a whole, and not before everything of the client has gone back.
CREATE TRIGGER hand_back_person_kept BEFORE DELETE ON hand_back_person
WHEN EXISTS (
  SELECT 1 FROM hand_back h JOIN commission c ON c.id = h.commission_id
    JOIN commission other ON other.client_id = c.client_id JOIN lot ON lot.commission_id = other.id
  WHERE h.id = OLD.hand_back_id AND lot.closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a name is erased only when nothing of theirs is here'); END;

-- A sealed slip is put right by a note that stands beside it.
CREATE TABLE hand_back_note (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  hand_back_id INTEGER NOT NULL REFERENCES hand_back (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  words TEXT NOT NULL CHECK (length(trim(words)) > 0)
) STRICT;
CREATE INDEX hand_back_note_of ON hand_back_note (hand_back_id, id);
CREATE TRIGGER hand_back_note_after BEFORE INSERT ON hand_back_note
WHEN NOT EXISTS (SELECT 1 FROM hand_back WHERE id = NEW.hand_back_id AND closed = 1)
BEGIN SELECT RAISE(ABORT, 'a note is added to a closed hand-back'); END;
CREATE TRIGGER hand_back_note_stays BEFORE UPDATE ON hand_back_note
BEGIN SELECT RAISE(ABORT, 'notes on a hand-back are append-only'); END;
CREATE TRIGGER hand_back_note_kept BEFORE DELETE ON hand_back_note
BEGIN SELECT RAISE(ABORT, 'notes on a hand-back are append-only'); END;

-- "Do not release": set and lifted with a reason, turn by turn. While it is set, nothing of the commission goes back.
CREATE TABLE release_mark (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  held INTEGER NOT NULL CHECK (held IN (0, 1)),
  reason TEXT NOT NULL CHECK (length(trim(reason)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE INDEX release_mark_of ON release_mark (commission_id, id);
CREATE TRIGGER release_mark_turns BEFORE INSERT ON release_mark
WHEN NEW.held = coalesce(
  (SELECT held FROM release_mark WHERE commission_id = NEW.commission_id ORDER BY id DESC LIMIT 1), 0)
BEGIN SELECT RAISE(ABORT, 'a commission is held once, and released once'); END;
CREATE TRIGGER release_mark_stays BEFORE UPDATE ON release_mark
BEGIN SELECT RAISE(ABORT, 'marks on a commission are append-only'); END;
CREATE TRIGGER release_mark_kept BEFORE DELETE ON release_mark
BEGIN SELECT RAISE(ABORT, 'marks on a commission are append-only'); END;
CREATE TRIGGER hand_back_released BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND 1 = (
  SELECT held FROM release_mark WHERE commission_id = NEW.commission_id ORDER BY id DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'this commission is marked: do not release'); END;

-- That the client was told that a lot is ready, or why that cannot be.
CREATE TABLE client_told (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  on_day TEXT NOT NULL CHECK (on_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  how TEXT NOT NULL CHECK (how IN ('by phone', 'by message', 'by letter', 'in person', 'cannot be told')),
  words TEXT NOT NULL CHECK (how <> 'cannot be told' OR length(trim(words)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE INDEX client_told_lot ON client_told (lot_id, id);
CREATE TRIGGER client_told_stays BEFORE UPDATE ON client_told
BEGIN SELECT RAISE(ABORT, 'what the client was told is append-only'); END;
CREATE TRIGGER client_told_kept BEFORE DELETE ON client_told
BEGIN SELECT RAISE(ABORT, 'what the client was told is append-only'); END;

-- Slips also print on a roll of 80 mm.
ALTER TABLE workshop ADD COLUMN paper TEXT NOT NULL DEFAULT 'A5' CHECK (paper IN ('A5', 'Letter', '80 mm roll'));
UPDATE workshop SET paper = slip_paper;
ALTER TABLE workshop DROP COLUMN slip_paper;
ALTER TABLE workshop RENAME COLUMN paper TO slip_paper;
