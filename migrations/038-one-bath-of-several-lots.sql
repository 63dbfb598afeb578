-- Asked once of a client: whether their fibre may share a bath with that of others.
ALTER TABLE client ADD COLUMN shares_bath TEXT NOT NULL DEFAULT 'not asked'
  CHECK (shares_bath IN ('not asked', 'may', 'never'));

-- The dyer says that lots share a bath, and how they are told apart, before any of them is laid into it.
CREATE TABLE shared_bath (
  load_id INTEGER PRIMARY KEY REFERENCES load (id),
  told_apart TEXT NOT NULL CHECK (length(trim(told_apart)) > 0),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE TRIGGER shared_bath_stays BEFORE UPDATE ON shared_bath
BEGIN SELECT RAISE(ABORT, 'how the lots of a bath are told apart is written once'); END;
CREATE TRIGGER shared_bath_kept BEFORE DELETE ON shared_bath
BEGIN SELECT RAISE(ABORT, 'how the lots of a bath are told apart is written once'); END;

-- The lots of a load, each with the recipe that it was laid by and its share of the load by dry weight. Mostly one.
CREATE TABLE load_lot (
  load_id INTEGER NOT NULL REFERENCES load (id),
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  recipe_id INTEGER NOT NULL REFERENCES recipe (id),
  dry_weight_g REAL NOT NULL CHECK (dry_weight_g > 0),
  PRIMARY KEY (load_id, lot_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX load_lot_lot ON load_lot (lot_id, load_id);
CREATE INDEX load_lot_recipe ON load_lot (recipe_id);

-- Until now a load was of one lot.
INSERT INTO load_lot (load_id, lot_id, recipe_id, dry_weight_g)
SELECT load.id, bundle.lot_id, coalesce(recipe.part_of, recipe.id), sum(bundle.dry_weight_g)
FROM load JOIN recipe ON recipe.id = load.recipe_id JOIN load_bundle ON load_bundle.load_id = load.id
  JOIN bundle ON bundle.id = load_bundle.bundle_id
GROUP BY load.id, bundle.lot_id;

CREATE TRIGGER load_lot_told_apart BEFORE INSERT ON load_lot
WHEN EXISTS (SELECT 1 FROM load_lot WHERE load_id = NEW.load_id AND lot_id <> NEW.lot_id)
  AND NOT EXISTS (SELECT 1 FROM shared_bath WHERE load_id = NEW.load_id)
BEGIN SELECT RAISE(ABORT, 'lots share a bath once it is said how they are told apart'); END;
CREATE TRIGGER load_lot_allowed BEFORE INSERT ON load_lot
WHEN EXISTS (
  SELECT 1 FROM load_lot other JOIN lot theirs ON theirs.id = other.lot_id JOIN commission c ON c.id = theirs.commission_id
    JOIN client one ON one.id = c.client_id
    JOIN client two ON two.id = (
      SELECT client_id FROM lot JOIN commission ON commission.id = lot.commission_id WHERE lot.id = NEW.lot_id)
  WHERE other.load_id = NEW.load_id AND one.id <> two.id AND (one.shares_bath <> 'may' OR two.shares_bath <> 'may'))
BEGIN SELECT RAISE(ABORT, 'the fibre of two clients shares a bath only when both said that it may'); END;
DROP TRIGGER load_bundle_apart;
CREATE TRIGGER load_lot_apart BEFORE INSERT ON load_lot
WHEN EXISTS (
  SELECT 1 FROM load_lot other JOIN keep_apart k ON k.lot_id IN (other.lot_id, NEW.lot_id)
  WHERE other.load_id = NEW.load_id AND other.lot_id <> NEW.lot_id AND k.released_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a lot that is kept apart shares no bath'); END;
CREATE TRIGGER load_lot_by_its_recipe BEFORE INSERT ON load_lot
WHEN (SELECT lot_id FROM recipe WHERE id = NEW.recipe_id) <> NEW.lot_id
BEGIN SELECT RAISE(ABORT, 'a lot is laid by its own recipe'); END;
CREATE TRIGGER load_lot_before_it_starts BEFORE INSERT ON load_lot
WHEN EXISTS (SELECT 1 FROM bath_log WHERE load_id = NEW.load_id)
BEGIN SELECT RAISE(ABORT, 'the lots of a load are said before it starts'); END;
CREATE TRIGGER load_lot_stays BEFORE UPDATE ON load_lot
BEGIN SELECT RAISE(ABORT, 'the lots of a load do not change'); END;
CREATE TRIGGER load_lot_kept BEFORE DELETE ON load_lot
BEGIN SELECT RAISE(ABORT, 'the lots of a load do not change'); END;

CREATE TRIGGER load_bundle_of_its_lots BEFORE INSERT ON load_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM load_lot JOIN bundle ON bundle.lot_id = load_lot.lot_id
  WHERE load_lot.load_id = NEW.load_id AND bundle.id = NEW.bundle_id)
BEGIN SELECT RAISE(ABORT, 'a load holds bundles of its own lots'); END;
-- The shares are the weights of the bundles, and add up to the whole.
CREATE TRIGGER load_starts_whole BEFORE INSERT ON bath_log
WHEN NEW.kind = 'step' AND NEW.step_n = 1 AND (
  abs((SELECT dry_weight_g FROM load WHERE id = NEW.load_id)
    - (SELECT total(dry_weight_g) FROM load_lot WHERE load_id = NEW.load_id)) > 0.000001
  OR EXISTS (
    SELECT 1 FROM load_lot WHERE load_id = NEW.load_id AND abs(dry_weight_g - (
      SELECT total(bundle.dry_weight_g) FROM load_bundle JOIN bundle ON bundle.id = load_bundle.bundle_id
      WHERE load_bundle.load_id = load_lot.load_id AND bundle.lot_id = load_lot.lot_id)) > 0.000001))
BEGIN SELECT RAISE(ABORT, 'a load starts with the bundles of its lots, and their weights add up to it'); END;

-- What was laid into a load, was lost since, and was not found again.
CREATE VIEW lost_from_load AS
SELECT load_bundle.load_id, load_bundle.bundle_id
FROM load_bundle JOIN load ON load.id = load_bundle.load_id
JOIN incident ON incident.id = (
  SELECT max(i.id) FROM incident_bundle b JOIN incident i ON i.id = b.incident_id
  WHERE b.bundle_id = load_bundle.bundle_id AND i.kind IN ('bundle lost', 'bundle found again'))
WHERE incident.kind = 'bundle lost' AND incident.entered_at >= load.laid_at;

-- Where lots share a bath, their bundles are counted with each step that takes them out: out of the pot, out of the load.
CREATE TABLE counted_out (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  log_id INTEGER NOT NULL REFERENCES bath_log (id),
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  bundles INTEGER NOT NULL CHECK (bundles >= 0),
  UNIQUE (log_id, lot_id)
) STRICT;
CREATE TRIGGER counted_out_of_load BEFORE INSERT ON counted_out
WHEN NOT EXISTS (
  SELECT 1 FROM bath_log JOIN load_lot ON load_lot.load_id = bath_log.load_id
  WHERE bath_log.id = NEW.log_id AND bath_log.kind = 'step' AND load_lot.lot_id = NEW.lot_id)
BEGIN SELECT RAISE(ABORT, 'the bundles of a lot are counted with a step of its load'); END;
CREATE TRIGGER counted_out_stays BEFORE UPDATE ON counted_out
BEGIN SELECT RAISE(ABORT, 'what was counted is append-only'); END;
CREATE TRIGGER counted_out_kept BEFORE DELETE ON counted_out
BEGIN SELECT RAISE(ABORT, 'what was counted is append-only'); END;
CREATE TRIGGER load_out_as_in BEFORE UPDATE OF pot_free_at, done_at ON load
WHEN ((OLD.pot_free_at IS NULL AND NEW.pot_free_at IS NOT NULL) OR (OLD.done_at IS NULL AND NEW.done_at IS NOT NULL))
  AND NEW.taken_out_at IS NULL
  AND (SELECT count(*) FROM load_lot WHERE load_id = NEW.id) > 1
  AND EXISTS (
    SELECT 1 FROM load_lot WHERE load_id = NEW.id
      AND (SELECT bundles FROM counted_out WHERE lot_id = load_lot.lot_id
        AND log_id = (SELECT max(id) FROM bath_log WHERE load_id = NEW.id)) IS NOT (
        SELECT count(*) FROM load_bundle JOIN bundle ON bundle.id = load_bundle.bundle_id
        WHERE load_bundle.load_id = NEW.id AND bundle.lot_id = load_lot.lot_id
          AND load_bundle.bundle_id NOT IN (SELECT bundle_id FROM lost_from_load WHERE load_id = NEW.id)))
BEGIN SELECT RAISE(ABORT, 'as many bundles of each lot come out of a shared bath as went in'); END;

INSERT OR IGNORE INTO chain_table (of_table) VALUES ('shared_bath'), ('counted_out');
