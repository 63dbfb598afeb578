-- What became of each tie: taken off for a bath, put back, lost, found, made anew from the strip's own end. Each line says how
-- the bundle's ties hang after it, so that the lines follow one from the other. `tied`: on the bundle, and not on the tie board.
CREATE TABLE tie_event (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  kind TEXT NOT NULL CHECK (kind IN ('taken off', 'put back', 'lost', 'found', 'replaced', 'the first is back')),
  count INTEGER NOT NULL CHECK (count > 0),
  tied INTEGER NOT NULL CHECK (tied IN (0, 1)),
  load_id INTEGER REFERENCES load (id),
  ties_on INTEGER NOT NULL,
  ties_off INTEGER NOT NULL,
  ties_lost INTEGER NOT NULL,
  ties_replaced INTEGER NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  words TEXT NOT NULL
) STRICT;
CREATE INDEX tie_event_bundle ON tie_event (bundle_id, id);

-- Of the ties that are on a bundle or on the board, how many were made anew.
ALTER TABLE bundle ADD COLUMN ties_replaced INTEGER NOT NULL DEFAULT 0
  CHECK (ties_replaced >= 0 AND ties_replaced <= ties_on + ties_off);

CREATE TRIGGER tie_event_adds_up BEFORE INSERT ON tie_event
WHEN NOT EXISTS (
  SELECT 1 FROM bundle b WHERE b.id = NEW.bundle_id
    AND NEW.ties_on = b.ties_on + NEW.count * CASE NEW.kind
      WHEN 'taken off' THEN -1 WHEN 'put back' THEN 1 WHEN 'lost' THEN -NEW.tied
      WHEN 'found' THEN NEW.tied WHEN 'replaced' THEN NEW.tied ELSE 0 END
    AND NEW.ties_off = b.ties_off + NEW.count * CASE NEW.kind
      WHEN 'taken off' THEN 1 WHEN 'put back' THEN -1 WHEN 'lost' THEN NEW.tied - 1
      WHEN 'found' THEN 1 - NEW.tied WHEN 'replaced' THEN 1 - NEW.tied ELSE 0 END
    AND NEW.ties_lost = b.ties_lost + NEW.count * CASE NEW.kind
      WHEN 'lost' THEN 1 WHEN 'found' THEN -1 WHEN 'replaced' THEN -1 ELSE 0 END
    AND NEW.ties_replaced = CASE NEW.kind
      WHEN 'lost' THEN min(b.ties_replaced, NEW.ties_on + NEW.ties_off)
      WHEN 'replaced' THEN b.ties_replaced + NEW.count
      WHEN 'the first is back' THEN b.ties_replaced - NEW.count ELSE b.ties_replaced END)
BEGIN SELECT RAISE(ABORT, 'a tie goes from one place to another: the counts after it do not add up'); END;
CREATE TRIGGER tie_event_counts AFTER INSERT ON tie_event
BEGIN
  UPDATE bundle SET ties_on = NEW.ties_on, ties_off = NEW.ties_off, ties_lost = NEW.ties_lost,
    ties_replaced = NEW.ties_replaced WHERE id = NEW.bundle_id;
END;
CREATE TRIGGER tie_event_stays BEFORE UPDATE ON tie_event
BEGIN SELECT RAISE(ABORT, 'what became of a tie is append-only'); END;
CREATE TRIGGER tie_event_kept BEFORE DELETE ON tie_event
BEGIN SELECT RAISE(ABORT, 'what became of a tie is append-only'); END;
-- And nothing else changes them.
CREATE TRIGGER bundle_ties_told AFTER UPDATE OF ties_on, ties_off, ties_lost, ties_replaced ON bundle
WHEN (OLD.ties_on <> NEW.ties_on OR OLD.ties_off <> NEW.ties_off OR OLD.ties_lost <> NEW.ties_lost
    OR OLD.ties_replaced <> NEW.ties_replaced)
  AND NOT EXISTS (
    SELECT 1 FROM tie_event e WHERE e.id = (SELECT max(id) FROM tie_event WHERE bundle_id = NEW.id)
      AND e.ties_on = NEW.ties_on AND e.ties_off = NEW.ties_off AND e.ties_lost = NEW.ties_lost
      AND e.ties_replaced = NEW.ties_replaced)
BEGIN SELECT RAISE(ABORT, 'ties come off, go on and are lost only by a line of the tie board'); END;
CREATE TRIGGER bundle_arrives_with_first_ties BEFORE INSERT ON bundle WHEN NEW.ties_replaced <> 0
BEGIN SELECT RAISE(ABORT, 'a bundle arrives with the ties that it came with'); END;

-- What the weight that came back was held against on that day, as shares of the dry weight, and from how many bundles that
-- went back before it was learned (0: common practice). Until now it was the same for all.
ALTER TABLE hand_back_bundle ADD COLUMN band_from REAL NOT NULL DEFAULT 0.9 CHECK (band_from > 0);
ALTER TABLE hand_back_bundle ADD COLUMN band_to REAL NOT NULL DEFAULT 1.15 CHECK (band_from < band_to AND band_to < 3);
ALTER TABLE hand_back_bundle ADD COLUMN band_of INTEGER NOT NULL DEFAULT 0 CHECK (band_of >= 0);
CREATE TRIGGER hand_back_bundle_weight BEFORE INSERT ON hand_back_bundle
WHEN NEW.weight_g IS NOT NULL AND trim(NEW.explanation) = '' AND NOT EXISTS (
  SELECT 1 FROM bundle WHERE id = NEW.bundle_id
    AND NEW.weight_g BETWEEN NEW.band_from * dry_weight_g - 0.000001 AND NEW.band_to * dry_weight_g + 0.000001)
BEGIN SELECT RAISE(ABORT, 'a weight that is not as expected is explained'); END;

-- What went back of one fibre by one route, the newest lot first.
CREATE INDEX lot_fibre_route ON lot (fibre_id, route, id);
