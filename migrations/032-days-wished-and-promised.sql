-- Days, seasons and hours in which a client wants nothing done to their fibre. `weekdays`: Sunday is 0, '' is every day. The
-- days are whole ones, both included; with `yearly` only their month and date count. Clock times are those on the workshop's
-- wall, and may run past midnight. `said`: the wish as a sentence. A wish stays as it was told until it is ended.
CREATE TABLE timed_wish (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id INTEGER NOT NULL REFERENCES client (id),
  weekdays TEXT NOT NULL CHECK (weekdays NOT GLOB '*[^0-6]*' AND length(weekdays) < 7),
  from_day TEXT,
  to_day TEXT,
  yearly INTEGER NOT NULL CHECK (yearly IN (0, 1)),
  from_clock TEXT CHECK (from_clock GLOB '[0-2][0-9]:[0-5][0-9]'),
  to_clock TEXT CHECK (to_clock GLOB '[0-2][0-9]:[0-5][0-9]'),
  words TEXT NOT NULL,
  said TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  ended_at TEXT,
  ended_by INTEGER REFERENCES worker (id),
  CHECK ((from_day IS NULL) = (to_day IS NULL)),
  CHECK (from_day <= to_day),
  CHECK (yearly = 0 OR from_day IS NOT NULL),
  CHECK ((from_clock IS NULL) = (to_clock IS NULL)),
  CHECK (weekdays <> '' OR from_day IS NOT NULL OR from_clock IS NOT NULL),
  CHECK ((ended_at IS NULL) = (ended_by IS NULL))
) STRICT;
CREATE INDEX timed_wish_client ON timed_wish (client_id, id);
CREATE TRIGGER timed_wish_stays BEFORE UPDATE OF id, client_id, weekdays, from_day, to_day, yearly, from_clock, to_clock,
  words, said, at, worker_id ON timed_wish
BEGIN SELECT RAISE(ABORT, 'a wish stays as it was told'); END;
CREATE TRIGGER timed_wish_ended BEFORE UPDATE ON timed_wish WHEN OLD.ended_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a wish that was ended stays ended'); END;

-- What day was promised for a lot, each time that something was said of it; no day where none could be promised.
-- `earliest`: the earliest day that the plan had then.
CREATE TABLE day_promise (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  day TEXT,
  earliest TEXT,
  how TEXT NOT NULL CHECK (length(trim(how)) > 0),
  told_on TEXT NOT NULL,
  words TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  CHECK (day IS NOT NULL OR length(trim(words)) > 0)
) STRICT;
CREATE INDEX day_promise_lot ON day_promise (lot_id, id);
CREATE TRIGGER day_promise_stays BEFORE UPDATE ON day_promise BEGIN SELECT RAISE(ABORT, 'what was promised is append-only'); END;
CREATE TRIGGER day_promise_kept BEFORE DELETE ON day_promise BEGIN SELECT RAISE(ABORT, 'what was promised is append-only'); END;

-- The plan as it was kept each time: what moved since is told by comparing with the last. Numbers of loads and lots, no names.
CREATE TABLE kept_plan (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  why TEXT NOT NULL CHECK (length(trim(why)) > 0),
  plan TEXT NOT NULL CHECK (json_valid(plan))
) STRICT;
CREATE TRIGGER kept_plan_stays BEFORE UPDATE ON kept_plan BEGIN SELECT RAISE(ABORT, 'a plan that was kept is append-only'); END;
CREATE TRIGGER kept_plan_kept BEFORE DELETE ON kept_plan BEGIN SELECT RAISE(ABORT, 'a plan that was kept is append-only'); END;

-- A step of a load that runs over: by how many minutes more than was planned.
CREATE TABLE step_overrun (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  load_id INTEGER NOT NULL REFERENCES load (id),
  step_n INTEGER NOT NULL,
  minutes INTEGER NOT NULL CHECK (minutes BETWEEN 1 AND 20160),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  FOREIGN KEY (load_id, step_n) REFERENCES load_step (load_id, n)
) STRICT;
CREATE INDEX step_overrun_load ON step_overrun (load_id, step_n);
CREATE TRIGGER step_overrun_stays BEFORE UPDATE ON step_overrun BEGIN SELECT RAISE(ABORT, 'a step that ran over is append-only'); END;
CREATE TRIGGER step_overrun_kept BEFORE DELETE ON step_overrun BEGIN SELECT RAISE(ABORT, 'a step that ran over is append-only'); END;

-- A pot that cannot be used for a while. Ended early, or taken back, it stays written down.
CREATE TABLE pot_rest (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  pot_id INTEGER NOT NULL REFERENCES pot (id),
  until_at TEXT NOT NULL,
  words TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  ended_at TEXT,
  ended_by INTEGER REFERENCES worker (id),
  CHECK (until_at > at),
  CHECK ((ended_at IS NULL) = (ended_by IS NULL))
) STRICT;
CREATE UNIQUE INDEX pot_rest_once ON pot_rest (pot_id) WHERE ended_at IS NULL;
CREATE TRIGGER pot_rest_stays BEFORE UPDATE OF id, pot_id, until_at, words, at, worker_id ON pot_rest
BEGIN SELECT RAISE(ABORT, 'what was said of a pot stays as it was said'); END;
CREATE TRIGGER pot_rest_ended BEFORE UPDATE ON pot_rest WHEN OLD.ended_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a pot that was put back to use stays so'); END;
