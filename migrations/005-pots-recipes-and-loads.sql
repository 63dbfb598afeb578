CREATE TABLE pot (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  usable_ml REAL NOT NULL CHECK (usable_ml > 0),
  usable_typed TEXT NOT NULL,
  metal TEXT NOT NULL,
  note TEXT NOT NULL,
  out_of_use INTEGER NOT NULL DEFAULT 0 CHECK (out_of_use IN (0, 1)),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE UNIQUE INDEX pot_name ON pot (name COLLATE NOCASE);

-- What was computed: job and answer, kept as they were. A row is never changed; another computation is another row.
CREATE TABLE recipe (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  part_of INTEGER REFERENCES recipe (id),  -- a load's share of its lot's recipe
  dry_weight_g REAL NOT NULL CHECK (dry_weight_g > 0),
  job TEXT NOT NULL CHECK (json_valid(job)),
  answer TEXT NOT NULL CHECK (json_valid(answer)),
  made_at TEXT NOT NULL,
  made_by INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE INDEX recipe_lot ON recipe (lot_id, id);
CREATE TRIGGER recipe_stays BEFORE UPDATE ON recipe BEGIN SELECT RAISE(ABORT, 'a recipe that was kept never changes'); END;
CREATE TRIGGER recipe_kept BEFORE DELETE ON recipe BEGIN SELECT RAISE(ABORT, 'a recipe that was kept never changes'); END;

-- The bundles that share one bath in one pot.
CREATE TABLE load (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  pot_id INTEGER NOT NULL REFERENCES pot (id),
  recipe_id INTEGER NOT NULL REFERENCES recipe (id),
  dry_weight_g REAL NOT NULL CHECK (dry_weight_g > 0),
  laid_at TEXT NOT NULL,
  laid_by INTEGER NOT NULL REFERENCES worker (id),
  step_n INTEGER NOT NULL CHECK (step_n > 0),
  step_since TEXT NOT NULL,
  pot_free_at TEXT,
  done_at TEXT,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE UNIQUE INDEX load_holds_pot ON load (pot_id) WHERE pot_free_at IS NULL;
CREATE INDEX load_open ON load (id) WHERE done_at IS NULL;

CREATE TABLE load_bundle (
  load_id INTEGER NOT NULL REFERENCES load (id),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  PRIMARY KEY (load_id, bundle_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX load_bundle_bundle ON load_bundle (bundle_id);

-- The steps of the load's recipe, in rows so that a list of loads need not open every recipe.
CREATE TABLE load_step (
  load_id INTEGER NOT NULL REFERENCES load (id),
  n INTEGER NOT NULL CHECK (n > 0),
  key TEXT NOT NULL,
  title TEXT NOT NULL,
  place TEXT NOT NULL CHECK (place IN ('soak tub', 'pot', 'rinse', 'drying line')),
  minutes REAL,
  temperature_c REAL,
  heat INTEGER NOT NULL CHECK (heat IN (0, 1)),
  ties_come_off INTEGER NOT NULL CHECK (ties_come_off IN (0, 1)),
  PRIMARY KEY (load_id, n)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER load_step_stays BEFORE UPDATE ON load_step BEGIN SELECT RAISE(ABORT, 'the steps of a load do not change'); END;

-- What was really done, and when. `at` may be earlier than `entered_at`; a slip of the finger is undone by another row.
CREATE TABLE bath_log (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  load_id INTEGER NOT NULL REFERENCES load (id),
  at TEXT NOT NULL,
  entered_at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  kind TEXT NOT NULL CHECK (kind IN ('step', 'added', 'rinsed', 'noted', 'undone')),
  step_n INTEGER,                       -- kind 'step': the step that began; past the last one, the load was done
  substance_id TEXT REFERENCES catalogue (id),
  amount REAL CHECK (amount > 0),
  unit TEXT CHECK (unit IN ('g', 'mL')),
  typed TEXT NOT NULL DEFAULT '',
  water TEXT CHECK (water IN ('dark', 'coloured', 'tinted', 'clear')),
  words TEXT NOT NULL DEFAULT '',
  undoes INTEGER UNIQUE REFERENCES bath_log (id),
  CHECK ((kind = 'added') = (substance_id IS NOT NULL AND amount IS NOT NULL AND unit IS NOT NULL)),
  CHECK ((kind = 'rinsed') = (water IS NOT NULL)),
  CHECK ((kind = 'step') = (step_n IS NOT NULL)),
  CHECK ((kind = 'undone') = (undoes IS NOT NULL)),
  CHECK (kind <> 'noted' OR length(words) > 0)
) STRICT;
CREATE INDEX bath_log_load ON bath_log (load_id, id);
CREATE TRIGGER bath_log_stays BEFORE UPDATE ON bath_log BEGIN SELECT RAISE(ABORT, 'the bath log is append-only'); END;
CREATE TRIGGER bath_log_kept BEFORE DELETE ON bath_log BEGIN SELECT RAISE(ABORT, 'the bath log is append-only'); END;

-- What came out: the third record, beside what was computed and what was done.
CREATE TABLE outcome (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  swatch TEXT CHECK (swatch IS NULL OR swatch GLOB '#[0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f]'),
  nearness TEXT NOT NULL CHECK (nearness IN ('as asked', 'nearly as asked', 'not as asked')),
  words TEXT NOT NULL
) STRICT;
CREATE INDEX outcome_lot ON outcome (lot_id, id);
CREATE TRIGGER outcome_stays BEFORE UPDATE ON outcome BEGIN SELECT RAISE(ABORT, 'what came out is append-only'); END;
CREATE TRIGGER outcome_kept BEFORE DELETE ON outcome BEGIN SELECT RAISE(ABORT, 'what came out is append-only'); END;
