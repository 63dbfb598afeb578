-- What a drop-off starts from in this workshop, so that the everyday answer is already there: one row, always.
CREATE TABLE drop_off_default (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  receipt_words TEXT NOT NULL,           -- the workshop's terms, as they stand on a receipt
  tie_place TEXT NOT NULL,
  tie_kind TEXT NOT NULL,
  thick_end TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO drop_off_default (id, receipt_words, tie_place, tie_kind, thick_end)
VALUES (1, '', 'not written down', 'not written down', 'not written down');

-- Asked once of a client: wishes in their own words, who said them and when; and where what is left over goes.
ALTER TABLE client ADD COLUMN wishes_answer TEXT NOT NULL DEFAULT 'not asked'
  CHECK (wishes_answer IN ('not asked', 'told', 'nothing special', 'rather not say'));
ALTER TABLE client ADD COLUMN wishes_said_by TEXT NOT NULL DEFAULT '';
ALTER TABLE client ADD COLUMN wishes_at TEXT NOT NULL DEFAULT '';
ALTER TABLE client ADD COLUMN offcuts TEXT NOT NULL DEFAULT 'back to the client'
  CHECK (offcuts IN ('back to the client', 'kept by the dyer for samples', 'composted'));
UPDATE client SET wishes_answer = 'told', wishes_at = made_at WHERE wishes <> '';

-- How a commission came: who brought it when not the client, and by what right; what the client told of the place of
-- gathering, which is theirs and private; the terms of the workshop as they stood on that day.
CREATE TABLE arrival (
  commission_id INTEGER PRIMARY KEY REFERENCES commission (id),
  brought_by TEXT NOT NULL,
  authority TEXT NOT NULL,
  offcuts TEXT NOT NULL CHECK (offcuts IN ('back to the client', 'kept by the dyer for samples', 'composted')),
  gathered TEXT NOT NULL,
  gathered_may_be_told INTEGER NOT NULL DEFAULT 0 CHECK (gathered_may_be_told IN (0, 1)),
  terms TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1,
  CHECK (brought_by = '' OR length(trim(authority)) > 0)
) STRICT;
CREATE TRIGGER arrival_kept BEFORE DELETE ON arrival
BEGIN SELECT RAISE(ABORT, 'how a commission came is never deleted'); END;
CREATE TRIGGER arrival_terms BEFORE UPDATE OF terms ON arrival WHEN OLD.terms <> NEW.terms
BEGIN SELECT RAISE(ABORT, 'the terms are those of the day of the drop-off'); END;

-- What the client says is wrong with a lot: "no faults" is another answer than "not asked".
CREATE TABLE lot_arrival (
  lot_id INTEGER PRIMARY KEY REFERENCES lot (id),
  faults TEXT NOT NULL CHECK (faults IN ('not asked', 'client says no faults', 'told')),
  faults_words TEXT NOT NULL,
  CHECK ((faults = 'told') = (length(trim(faults_words)) > 0))
) STRICT;
CREATE TRIGGER lot_arrival_kept BEFORE DELETE ON lot_arrival
BEGIN SELECT RAISE(ABORT, 'how a lot came is never deleted'); END;

-- The condition of each bundle as it came and how it was tied: who looked at it and when, before any work.
CREATE TABLE bundle_arrival (
  bundle_id INTEGER PRIMARY KEY REFERENCES bundle (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  found TEXT NOT NULL CHECK (json_valid(found)),  -- words of the agreed list; none: as expected
  words TEXT NOT NULL,
  tie_place TEXT NOT NULL,
  tie_kind TEXT NOT NULL,
  thick_end TEXT NOT NULL
) STRICT;
CREATE TRIGGER bundle_arrival_stays BEFORE UPDATE ON bundle_arrival
BEGIN SELECT RAISE(ABORT, 'the condition at arrival is written once'); END;
CREATE TRIGGER bundle_arrival_kept BEFORE DELETE ON bundle_arrival
BEGIN SELECT RAISE(ABORT, 'the condition at arrival is never deleted'); END;

-- What came along and has to go back: answered once it has, or with words why not.
CREATE TABLE returnable (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  kind TEXT NOT NULL CHECK (kind IN ('wrapper', 'container', 'sample', 'pattern', 'note', 'other')),
  words TEXT NOT NULL CHECK (length(words) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  answer TEXT NOT NULL DEFAULT 'open' CHECK (answer IN ('open', 'gone back', 'does not go back')),
  why TEXT NOT NULL DEFAULT '',
  answered_at TEXT,
  answered_by INTEGER REFERENCES worker (id),
  CHECK ((answer = 'open') = (answered_at IS NULL)),
  CHECK (answer <> 'does not go back' OR length(trim(why)) > 0)
) STRICT;
CREATE INDEX returnable_commission ON returnable (commission_id);
CREATE TRIGGER returnable_as_came BEFORE UPDATE OF commission_id, kind, at ON returnable
WHEN OLD.commission_id <> NEW.commission_id OR OLD.kind <> NEW.kind OR OLD.at <> NEW.at
BEGIN SELECT RAISE(ABORT, 'what came along is not changed afterwards'); END;
CREATE TRIGGER returnable_answered BEFORE UPDATE OF answer, why, answered_at ON returnable WHEN OLD.answer <> 'open'
BEGIN SELECT RAISE(ABORT, 'what was answered stays answered'); END;
CREATE TRIGGER returnable_kept BEFORE DELETE ON returnable
BEGIN SELECT RAISE(ABORT, 'what came along is never deleted'); END;

-- A lot that shares no bath and no shelf until it is released with a note.
CREATE TABLE keep_apart (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  why TEXT NOT NULL CHECK (length(trim(why)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  released_at TEXT,
  released_by INTEGER REFERENCES worker (id),
  release_note TEXT NOT NULL DEFAULT '',
  CHECK ((released_at IS NULL) = (length(trim(release_note)) = 0))
) STRICT;
CREATE UNIQUE INDEX keep_apart_now ON keep_apart (lot_id) WHERE released_at IS NULL;
CREATE TRIGGER keep_apart_released BEFORE UPDATE ON keep_apart
WHEN OLD.released_at IS NOT NULL OR NEW.released_at IS NULL OR OLD.lot_id <> NEW.lot_id OR OLD.why <> NEW.why
BEGIN SELECT RAISE(ABORT, 'a lot kept apart is only released, once'); END;
CREATE TRIGGER keep_apart_kept BEFORE DELETE ON keep_apart
BEGIN SELECT RAISE(ABORT, 'that a lot was kept apart is never deleted'); END;

-- A wish that cannot be met here, until the client has decided.
CREATE TABLE unmet_wish (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  words TEXT NOT NULL CHECK (length(trim(words)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  decision TEXT NOT NULL DEFAULT '',
  decided_by TEXT NOT NULL DEFAULT '',
  decided_at TEXT,
  noted_by INTEGER REFERENCES worker (id),
  CHECK ((decided_at IS NULL) = (length(trim(decision)) = 0))
) STRICT;
CREATE INDEX unmet_wish_commission ON unmet_wish (commission_id);
CREATE TRIGGER unmet_wish_decided BEFORE UPDATE ON unmet_wish
WHEN OLD.decided_at IS NOT NULL AND NOT (
  NEW.decided_at IS OLD.decided_at AND NEW.noted_by IS OLD.noted_by AND NEW.commission_id = OLD.commission_id
  AND NEW.words IN (OLD.words, 'erased') AND NEW.decision IN (OLD.decision, 'erased') AND NEW.decided_by IN (OLD.decided_by, 'erased'))
BEGIN SELECT RAISE(ABORT, 'what a client decided stays'); END;
CREATE TRIGGER unmet_wish_kept BEFORE DELETE ON unmet_wish
BEGIN SELECT RAISE(ABORT, 'a wish that cannot be met is never deleted'); END;

-- What was agreed with the client, when and how; for each lot the colour and its way, so that a change asks again.
CREATE TABLE agreement (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  how TEXT NOT NULL CHECK (how IN ('spoken', 'message', 'signed')),
  agreed_on TEXT NOT NULL CHECK (agreed_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  words TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE INDEX agreement_commission ON agreement (commission_id);
CREATE TABLE agreed_lot (
  agreement_id INTEGER NOT NULL REFERENCES agreement (id),
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  colour TEXT NOT NULL,
  dye_id TEXT NOT NULL REFERENCES catalogue (id),
  route TEXT NOT NULL,
  ties_undyed INTEGER NOT NULL,
  PRIMARY KEY (agreement_id, lot_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX agreed_lot_lot ON agreed_lot (lot_id, agreement_id);
CREATE TRIGGER agreement_stays BEFORE UPDATE ON agreement
WHEN NOT (NEW.commission_id = OLD.commission_id AND NEW.how = OLD.how AND NEW.agreed_on = OLD.agreed_on
  AND NEW.at = OLD.at AND NEW.worker_id = OLD.worker_id AND NEW.words IN (OLD.words, 'erased'))
BEGIN SELECT RAISE(ABORT, 'what was agreed stays'); END;
CREATE TRIGGER agreement_kept BEFORE DELETE ON agreement BEGIN SELECT RAISE(ABORT, 'what was agreed stays'); END;
CREATE TRIGGER agreed_lot_stays BEFORE UPDATE ON agreed_lot BEGIN SELECT RAISE(ABORT, 'what was agreed stays'); END;
CREATE TRIGGER agreed_lot_kept BEFORE DELETE ON agreed_lot BEGIN SELECT RAISE(ABORT, 'what was agreed stays'); END;

-- Receipts as they were issued. One never changes; a later one says what it amends. Only erasing the client empties it.
CREATE TABLE receipt (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  n INTEGER NOT NULL CHECK (n > 0),
  content TEXT NOT NULL CHECK (json_valid(content)),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  UNIQUE (commission_id, n)
) STRICT;
CREATE TRIGGER receipt_in_order BEFORE INSERT ON receipt
WHEN NEW.n <> (SELECT coalesce(max(n), 0) + 1 FROM receipt WHERE commission_id = NEW.commission_id)
BEGIN SELECT RAISE(ABORT, 'receipts are numbered in order'); END;
CREATE TRIGGER receipt_stays BEFORE UPDATE ON receipt
WHEN NOT (NEW.content = '"erased"' AND NEW.id = OLD.id AND NEW.commission_id = OLD.commission_id AND NEW.n = OLD.n
  AND NEW.at = OLD.at AND NEW.worker_id = OLD.worker_id
  AND NOT EXISTS (SELECT 1 FROM lot WHERE commission_id = OLD.commission_id AND closed_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'a receipt that was issued never changes'); END;
CREATE TRIGGER receipt_kept BEFORE DELETE ON receipt
BEGIN SELECT RAISE(ABORT, 'a receipt that was issued never changes'); END;

-- What was here before: looked at and read back on the day it was taken in.
INSERT INTO arrival (commission_id, brought_by, authority, offcuts, gathered, terms)
SELECT id, '', '', 'back to the client', '', '' FROM commission;
INSERT INTO lot_arrival (lot_id, faults, faults_words) SELECT id, 'not asked', '' FROM lot;
INSERT INTO bundle_arrival (bundle_id, at, worker_id, found, words, tie_place, tie_kind, thick_end)
SELECT bundle.id, taken_in_at, taken_in_by, '[]', condition, 'not written down', 'not written down', 'not written down'
FROM bundle JOIN lot ON lot.id = bundle.lot_id JOIN commission ON commission.id = lot.commission_id;
INSERT INTO agreement (id, commission_id, how, agreed_on, words, at, worker_id)
SELECT id, id, 'spoken', substr(taken_in_at, 1, 10), '', taken_in_at, taken_in_by FROM commission;
INSERT INTO agreed_lot (agreement_id, lot_id, colour, dye_id, route, ties_undyed)
SELECT commission_id, id, colour, dye_id, route, ties_undyed FROM lot;

-- Nothing is laid into a bath before its condition is written down and its plan agreed, against a wish that waits for an
-- answer, or beside another lot while it is to be kept apart.
CREATE TRIGGER load_bundle_after_arrival BEFORE INSERT ON load_bundle
WHEN NOT EXISTS (SELECT 1 FROM bundle_arrival WHERE bundle_id = NEW.bundle_id)
BEGIN SELECT RAISE(ABORT, 'the condition at arrival is written down before any work'); END;
CREATE TRIGGER load_bundle_as_agreed BEFORE INSERT ON load_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM bundle JOIN lot ON lot.id = bundle.lot_id JOIN agreed_lot a ON a.lot_id = lot.id
  WHERE bundle.id = NEW.bundle_id
    AND a.agreement_id = (SELECT max(agreement_id) FROM agreed_lot WHERE lot_id = lot.id)
    AND a.colour = lot.colour AND a.dye_id = lot.dye_id AND a.route = lot.route AND a.ties_undyed = lot.ties_undyed)
BEGIN SELECT RAISE(ABORT, 'the plan is agreed with the client before any work'); END;
CREATE TRIGGER load_bundle_wishes_met BEFORE INSERT ON load_bundle
WHEN EXISTS (
  SELECT 1 FROM bundle JOIN lot ON lot.id = bundle.lot_id JOIN unmet_wish w ON w.commission_id = lot.commission_id
  WHERE bundle.id = NEW.bundle_id AND w.decided_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a wish that cannot be met waits for the client'); END;
CREATE TRIGGER load_bundle_apart BEFORE INSERT ON load_bundle
WHEN EXISTS (
  SELECT 1 FROM bundle JOIN load_bundle other ON other.load_id = NEW.load_id JOIN bundle theirs ON theirs.id = other.bundle_id
  WHERE bundle.id = NEW.bundle_id AND theirs.lot_id <> bundle.lot_id
    AND EXISTS (SELECT 1 FROM keep_apart k WHERE k.lot_id IN (bundle.lot_id, theirs.lot_id) AND k.released_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'a lot that is kept apart shares no bath'); END;
