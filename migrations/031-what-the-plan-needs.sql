-- What a plan has to know of the workshop. Until its dyer has said so (version 1) these are our guesses, and the page says it.
-- The room on the drying line is counted in bundles; when it was measured, metres_per_bundle tells how many hang on a metre.
CREATE TABLE working_days (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  soak_tubs INTEGER NOT NULL CHECK (soak_tubs BETWEEN 0 AND 50),
  sinks INTEGER NOT NULL CHECK (sinks BETWEEN 1 AND 20),
  line_unit TEXT NOT NULL CHECK (line_unit IN ('bundles', 'metres')),
  line_room REAL NOT NULL CHECK (line_room > 0),
  metres_per_bundle REAL NOT NULL CHECK (metres_per_bundle > 0),
  hands INTEGER NOT NULL CHECK (hands BETWEEN 1 AND 20),
  scour_minutes REAL NOT NULL CHECK (scour_minutes BETWEEN 0 AND 480),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO working_days (id, soak_tubs, sinks, line_unit, line_room, metres_per_bundle, hands, scour_minutes)
VALUES (1, 2, 1, 'bundles', 60, 0.2, 1, 20);

-- The dyer's hours on the workshop's wall, Sunday is 0. A weekday without a row is a day off; "24:00" ends a day.
CREATE TABLE working_hours (
  weekday INTEGER NOT NULL CHECK (weekday BETWEEN 0 AND 6),
  from_clock TEXT NOT NULL CHECK (from_clock GLOB '[0-2][0-9]:[0-5][0-9]' AND from_clock < '24:00'),
  to_clock TEXT NOT NULL CHECK (to_clock GLOB '[0-2][0-9]:[0-5][0-9]' AND to_clock <= '24:00'),
  PRIMARY KEY (weekday, from_clock),
  CHECK (from_clock < to_clock)
) STRICT, WITHOUT ROWID;
INSERT INTO working_hours (weekday, from_clock, to_clock)
VALUES (1, '08:00', '18:00'), (2, '08:00', '18:00'), (3, '08:00', '18:00'), (4, '08:00', '18:00'), (5, '08:00', '18:00'),
  (6, '08:00', '18:00');

-- Days on which nobody is there, both of them and all between. Taken back, they stay written down.
CREATE TABLE day_away (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  from_day TEXT NOT NULL CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  to_day TEXT NOT NULL CHECK (to_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  words TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  undone_at TEXT,
  undone_by INTEGER REFERENCES worker (id),
  CHECK (from_day <= to_day),
  CHECK ((undone_at IS NULL) = (undone_by IS NULL))
) STRICT;
CREATE INDEX day_away_open ON day_away (to_day) WHERE undone_at IS NULL;

-- What the workshop does otherwise than its recipes say, for each kind of step; null = as the recipe says. `hands`: the work
-- fills the whole step; `hands_minutes`: it takes so long.
CREATE TABLE step_habit (
  key TEXT PRIMARY KEY CHECK (key IN ('soak', 'mordant', 'dye', 'stand', 'iron', 'vat', 'dip', 'air', 'rinse', 'dry')),
  hands INTEGER CHECK (hands IN (0, 1)),
  hands_minutes REAL CHECK (hands_minutes BETWEEN 0 AND 1440),
  may_stand_overnight INTEGER CHECK (may_stand_overnight IN (0, 1)),
  at_least_minutes REAL CHECK (at_least_minutes BETWEEN 0 AND 43200),
  at_most_minutes REAL CHECK (at_most_minutes BETWEEN 1 AND 43200),
  CHECK (at_least_minutes <= at_most_minutes)
) STRICT, WITHOUT ROWID;

ALTER TABLE pot ADD COLUMN no_iron INTEGER NOT NULL DEFAULT 0 CHECK (no_iron IN (0, 1));
ALTER TABLE pot ADD COLUMN only_brights INTEGER NOT NULL DEFAULT 0 CHECK (only_brights IN (0, 1));

-- A load's steps as a plan needs them. Null: laid before this was written down, or not said by its recipe.
ALTER TABLE load_step ADD COLUMN hands INTEGER CHECK (hands IN (0, 1));
ALTER TABLE load_step ADD COLUMN hands_minutes REAL CHECK (hands_minutes >= 0);
ALTER TABLE load_step ADD COLUMN at_least_minutes REAL CHECK (at_least_minutes >= 0);
ALTER TABLE load_step ADD COLUMN at_most_minutes REAL CHECK (at_most_minutes >= 0);
ALTER TABLE load_step ADD COLUMN may_stand_overnight INTEGER CHECK (may_stand_overnight IN (0, 1));

-- Loads that are under way learn it from the recipe that they were laid by.
DROP TRIGGER load_step_stays;
UPDATE load_step SET
  hands = step.hands,
  hands_minutes = step.hands_minutes,
  at_least_minutes = step.at_least,
  at_most_minutes = step.at_most,
  may_stand_overnight = step.overnight
FROM (
  SELECT load.id AS load_id, json_extract(said.value, '$.index') + 1 AS n, json_extract(said.value, '$.hands') AS hands,
    json_extract(said.value, '$.handsMinutes') AS hands_minutes, json_extract(said.value, '$.atLeastMinutes') AS at_least,
    json_extract(said.value, '$.atMostMinutes') AS at_most, json_extract(said.value, '$.mayStandOvernight') AS overnight
  FROM load JOIN recipe ON recipe.id = load.recipe_id, json_each(recipe.answer, '$.steps') AS said
  WHERE load.done_at IS NULL
) AS step
WHERE load_step.load_id = step.load_id AND load_step.n = step.n;
CREATE TRIGGER load_step_stays BEFORE UPDATE ON load_step BEGIN SELECT RAISE(ABORT, 'the steps of a load do not change'); END;

-- What the dyer has settled: when a step begins, in which pot, or both. It is about a load, or (`part`, from 1) about what is
-- still to be put in of a lot. Taken back, it stays written down.
CREATE TABLE plan_pin (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  load_id INTEGER REFERENCES load (id),
  part INTEGER CHECK (part > 0),
  step_n INTEGER NOT NULL CHECK (step_n > 0),
  starts_at TEXT,
  pot_id INTEGER REFERENCES pot (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  undone_at TEXT,
  undone_by INTEGER REFERENCES worker (id),
  CHECK ((load_id IS NULL) <> (part IS NULL)),
  CHECK (starts_at IS NOT NULL OR pot_id IS NOT NULL),
  CHECK ((undone_at IS NULL) = (undone_by IS NULL))
) STRICT;
CREATE UNIQUE INDEX plan_pin_once ON plan_pin (lot_id, coalesce(load_id, 0), coalesce(part, 0), step_n)
WHERE undone_at IS NULL;
