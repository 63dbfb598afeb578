-- What was written down wrongly at drop-off is put right by a line: what stood there, what stands there since, who, when and
-- why. A line writes its record along, and nothing else may change it.
CREATE TABLE correction (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  of_table TEXT NOT NULL CHECK (of_table IN ('commission', 'lot', 'bundle', 'bundle_arrival')),
  row_id INTEGER NOT NULL,
  field TEXT NOT NULL,
  was ANY,
  became ANY,
  why TEXT NOT NULL CHECK (length(trim(why)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  CHECK (was IS NOT became)
) STRICT;
CREATE INDEX correction_of ON correction (of_table, row_id, field, id);
CREATE TRIGGER correction_stays BEFORE UPDATE ON correction
BEGIN SELECT RAISE(ABORT, 'what was put right stays as it was written'); END;
CREATE TRIGGER correction_kept BEFORE DELETE ON correction
BEGIN SELECT RAISE(ABORT, 'what was put right is never deleted'); END;

-- One place more: that of a bundle which was never there. Only the words of the CHECK change, where they stand
-- (SQLite documentation, lang_altertable, "making other kinds of table schema changes").
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''handed back'', ''not found'')', '''handed back'', ''not found'', ''withdrawn'')')
WHERE type = 'table' AND name = 'bundle';
PRAGMA writable_schema = RESET;
DROP INDEX bundle_here;
CREATE INDEX bundle_here ON bundle (place, lot_id) WHERE place NOT IN ('handed back', 'not found', 'withdrawn');
DROP INDEX bundle_gone;
CREATE INDEX bundle_gone ON bundle (place) WHERE place IN ('handed back', 'not found', 'withdrawn');

CREATE TRIGGER correction_of_what_stands BEFORE INSERT ON correction
WHEN NOT EXISTS (
  SELECT 1 FROM bundle WHERE NEW.of_table = 'bundle' AND id = NEW.row_id AND CASE NEW.field
    WHEN 'ties_in' THEN ties_in IS NEW.was
    WHEN 'dry_weight_g' THEN dry_weight_g IS NEW.was
    WHEN 'weight_typed' THEN weight_typed IS NEW.was
    WHEN 'thickness_mm' THEN thickness_mm IS NEW.was
    WHEN 'thickness_typed' THEN thickness_typed IS NEW.was
    WHEN 'condition' THEN condition IS NEW.was
    WHEN 'how_tied' THEN how_tied IS NEW.was
    WHEN 'place' THEN place IS NEW.was ELSE 0 END
  UNION ALL
  SELECT 1 FROM bundle_arrival WHERE NEW.of_table = 'bundle_arrival' AND bundle_id = NEW.row_id AND CASE NEW.field
    WHEN 'found' THEN found IS NEW.was
    WHEN 'words' THEN words IS NEW.was
    WHEN 'tie_place' THEN tie_place IS NEW.was
    WHEN 'tie_kind' THEN tie_kind IS NEW.was
    WHEN 'thick_end' THEN thick_end IS NEW.was ELSE 0 END)
BEGIN SELECT RAISE(ABORT, 'only what stands there can be put right'); END;

-- What went back, and what was withdrawn, is not touched any more; a slip is put right by a note beside it.
CREATE TRIGGER correction_while_here BEFORE INSERT ON correction
WHEN NEW.of_table IN ('bundle', 'bundle_arrival') AND EXISTS (
  SELECT 1 FROM bundle WHERE id = NEW.row_id AND place IN ('handed back', 'not found', 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'what went back is not put right any more'); END;
-- From the moment at which a tie came off, each is accounted for on the tie board.
CREATE TRIGGER correction_of_ties BEFORE INSERT ON correction
WHEN NEW.of_table = 'bundle' AND NEW.field = 'ties_in' AND (
  EXISTS (SELECT 1 FROM tie_event WHERE bundle_id = NEW.row_id)
  OR EXISTS (SELECT 1 FROM bundle WHERE id = NEW.row_id AND load_id IS NOT NULL))
BEGIN SELECT RAISE(ABORT, 'ties are counted anew only before any came off'); END;
CREATE TRIGGER correction_withdraws BEFORE INSERT ON correction
WHEN NEW.of_table = 'bundle' AND NEW.field = 'place' AND (NEW.was IS NOT 'arrivals shelf' OR NEW.became IS NOT 'withdrawn'
  OR NOT EXISTS (
    SELECT 1 FROM bundle own JOIN bundle other ON other.lot_id = own.lot_id AND other.id <> own.id
    WHERE own.id = NEW.row_id AND other.place <> 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'a bundle is withdrawn from the arrivals shelf, and never the last of its lot'); END;

CREATE TRIGGER correction_puts_right AFTER INSERT ON correction
BEGIN
  UPDATE bundle SET ties_in = NEW.became, ties_on = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'ties_in' AND id = NEW.row_id;
  UPDATE bundle SET dry_weight_g = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'dry_weight_g' AND id = NEW.row_id;
  UPDATE bundle SET weight_typed = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'weight_typed' AND id = NEW.row_id;
  UPDATE bundle SET thickness_mm = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'thickness_mm' AND id = NEW.row_id;
  UPDATE bundle SET thickness_typed = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'thickness_typed' AND id = NEW.row_id;
  UPDATE bundle SET condition = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'condition' AND id = NEW.row_id;
  UPDATE bundle SET how_tied = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'how_tied' AND id = NEW.row_id;
  UPDATE bundle SET place = NEW.became
    WHERE NEW.of_table = 'bundle' AND NEW.field = 'place' AND id = NEW.row_id;
  UPDATE bundle_arrival SET found = NEW.became
    WHERE NEW.of_table = 'bundle_arrival' AND NEW.field = 'found' AND bundle_id = NEW.row_id;
  UPDATE bundle_arrival SET words = NEW.became
    WHERE NEW.of_table = 'bundle_arrival' AND NEW.field = 'words' AND bundle_id = NEW.row_id;
  UPDATE bundle_arrival SET tie_place = NEW.became
    WHERE NEW.of_table = 'bundle_arrival' AND NEW.field = 'tie_place' AND bundle_id = NEW.row_id;
  UPDATE bundle_arrival SET tie_kind = NEW.became
    WHERE NEW.of_table = 'bundle_arrival' AND NEW.field = 'tie_kind' AND bundle_id = NEW.row_id;
  UPDATE bundle_arrival SET thick_end = NEW.became
    WHERE NEW.of_table = 'bundle_arrival' AND NEW.field = 'thick_end' AND bundle_id = NEW.row_id;
END;

-- What was brought changes only as its newest line says.
DROP TRIGGER bundle_as_taken_in;
CREATE TRIGGER bundle_as_taken_in BEFORE UPDATE OF lot_id, n ON bundle WHEN OLD.lot_id <> NEW.lot_id OR OLD.n <> NEW.n
BEGIN SELECT RAISE(ABORT, 'a bundle keeps its lot and its number'); END;
CREATE TRIGGER bundle_as_written BEFORE UPDATE OF
  ties_in, dry_weight_g, weight_typed, thickness_mm, thickness_typed, condition, how_tied ON bundle
WHEN EXISTS (
  SELECT 1 FROM (
    SELECT 'ties_in' AS field, OLD.ties_in AS was, NEW.ties_in AS became
    UNION ALL SELECT 'dry_weight_g', OLD.dry_weight_g, NEW.dry_weight_g
    UNION ALL SELECT 'weight_typed', OLD.weight_typed, NEW.weight_typed
    UNION ALL SELECT 'thickness_mm', OLD.thickness_mm, NEW.thickness_mm
    UNION ALL SELECT 'thickness_typed', OLD.thickness_typed, NEW.thickness_typed
    UNION ALL SELECT 'condition', OLD.condition, NEW.condition
    UNION ALL SELECT 'how_tied', OLD.how_tied, NEW.how_tied) AS changed
  WHERE was IS NOT became AND NOT EXISTS (
    SELECT 1 FROM correction line WHERE line.was IS changed.was AND line.became IS changed.became AND line.id =
      (SELECT max(id) FROM correction WHERE of_table = 'bundle' AND row_id = OLD.id AND field = changed.field)))
BEGIN SELECT RAISE(ABORT, 'what was taken in is put right by a line, and not otherwise'); END;
CREATE TRIGGER bundle_withdrawn BEFORE UPDATE OF place ON bundle
WHEN NEW.place = 'withdrawn' AND OLD.place <> 'withdrawn' AND NOT EXISTS (
  SELECT 1 FROM correction WHERE of_table = 'bundle' AND row_id = OLD.id AND field = 'place' AND was = OLD.place)
BEGIN SELECT RAISE(ABORT, 'a bundle is withdrawn by a line, and not otherwise'); END;
CREATE TRIGGER bundle_stays_withdrawn BEFORE UPDATE ON bundle
WHEN OLD.place = 'withdrawn' AND NOT (NEW.place = 'withdrawn' AND NEW.spot_id IS NULL)
BEGIN SELECT RAISE(ABORT, 'a bundle that was withdrawn does not come back'); END;
DROP TRIGGER bundle_arrival_stays;
CREATE TRIGGER bundle_arrival_stays BEFORE UPDATE ON bundle_arrival
WHEN OLD.bundle_id <> NEW.bundle_id OR OLD.at <> NEW.at OR OLD.worker_id <> NEW.worker_id OR EXISTS (
  SELECT 1 FROM (
    SELECT 'found' AS field, OLD.found AS was, NEW.found AS became
    UNION ALL SELECT 'words', OLD.words, NEW.words
    UNION ALL SELECT 'tie_place', OLD.tie_place, NEW.tie_place
    UNION ALL SELECT 'tie_kind', OLD.tie_kind, NEW.tie_kind
    UNION ALL SELECT 'thick_end', OLD.thick_end, NEW.thick_end) AS changed
  WHERE was IS NOT became AND NOT EXISTS (
    SELECT 1 FROM correction line WHERE line.was IS changed.was AND line.became IS changed.became AND line.id =
      (SELECT max(id) FROM correction WHERE of_table = 'bundle_arrival' AND row_id = OLD.bundle_id AND field = changed.field)))
BEGIN SELECT RAISE(ABORT, 'the condition at arrival is written once, and put right by a line'); END;

-- Ties counted anew are not ties that came off; everything else stays a line of the tie board.
DROP TRIGGER bundle_ties_told;
CREATE TRIGGER bundle_ties_told AFTER UPDATE OF ties_on, ties_off, ties_lost, ties_replaced ON bundle
WHEN (OLD.ties_on <> NEW.ties_on OR OLD.ties_off <> NEW.ties_off OR OLD.ties_lost <> NEW.ties_lost
    OR OLD.ties_replaced <> NEW.ties_replaced)
  AND NOT (OLD.ties_on = OLD.ties_in AND NEW.ties_on = NEW.ties_in AND OLD.ties_in <> NEW.ties_in)
  AND NOT EXISTS (
    SELECT 1 FROM tie_event e WHERE e.id = (SELECT max(id) FROM tie_event WHERE bundle_id = NEW.id)
      AND e.ties_on = NEW.ties_on AND e.ties_off = NEW.ties_off AND e.ties_lost = NEW.ties_lost
      AND e.ties_replaced = NEW.ties_replaced)
BEGIN SELECT RAISE(ABORT, 'ties come off, go on and are lost only by a line of the tie board'); END;

-- A bundle that was never there goes back with nobody, and keeps no lot open.
DROP TRIGGER hand_back_bundle_of_lot;
CREATE TRIGGER hand_back_bundle_of_lot BEFORE INSERT ON hand_back_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM bundle JOIN hand_back_lot l ON l.lot_id = bundle.lot_id
  WHERE bundle.id = NEW.bundle_id AND bundle.place <> 'withdrawn' AND l.hand_back_id = NEW.hand_back_id)
BEGIN SELECT RAISE(ABORT, 'a bundle goes back with its lot'); END;
DROP TRIGGER hand_back_adds_up;
CREATE TRIGGER hand_back_adds_up BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND EXISTS (
  SELECT 1 FROM hand_back_lot l JOIN bundle ON bundle.lot_id = l.lot_id
  WHERE l.hand_back_id = NEW.id AND l.stays_until IS NULL AND trim(l.stays_words) = ''
    AND bundle.place NOT IN ('handed back', 'not found', 'withdrawn')
    AND NOT EXISTS (SELECT 1 FROM hand_back_bundle b WHERE b.hand_back_id = NEW.id AND b.bundle_id = bundle.id))
BEGIN SELECT RAISE(ABORT, 'a bundle of this hand-back is not accounted for'); END;
DROP TRIGGER lot_closes;
CREATE TRIGGER lot_closes BEFORE UPDATE OF closed_at ON lot
WHEN NEW.closed_at IS NOT NULL AND EXISTS (
  SELECT 1 FROM bundle WHERE lot_id = NEW.id AND place NOT IN ('handed back', 'not found', 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'a lot closes when all its bundles have gone back or are explained'); END;

-- A lot is laid by a recipe for what stands written of it now.
CREATE TRIGGER load_lot_for_what_came BEFORE INSERT ON load_lot
WHEN EXISTS (
  SELECT 1 FROM recipe WHERE id = NEW.recipe_id AND lot_id = NEW.lot_id AND abs(dry_weight_g
    - (SELECT total(dry_weight_g) FROM bundle WHERE bundle.lot_id = NEW.lot_id AND place <> 'withdrawn')) > 0.01)
BEGIN SELECT RAISE(ABORT, 'the recipe is kept anew after a weight was put right'); END;
