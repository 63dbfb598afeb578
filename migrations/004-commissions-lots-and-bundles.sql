-- What one client asks for at one time.
CREATE TABLE commission (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  client_id INTEGER NOT NULL REFERENCES client (id),
  purpose TEXT NOT NULL CHECK (length(purpose) > 0),
  needed_by TEXT NOT NULL CHECK (needed_by GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  arrangement TEXT NOT NULL CHECK (arrangement IN ('paid', 'trade', 'gift')),
  note TEXT NOT NULL,
  taken_in_at TEXT NOT NULL,
  taken_in_by INTEGER NOT NULL REFERENCES worker (id),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE INDEX commission_client ON commission (client_id, id);

-- Bundles of one fibre that get one colour. AUTOINCREMENT: a lot's number is never used again.
CREATE TABLE lot (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  commission_id INTEGER NOT NULL REFERENCES commission (id),
  fibre_id TEXT NOT NULL REFERENCES catalogue (id),
  colour TEXT NOT NULL CHECK (length(colour) > 0),
  swatch TEXT CHECK (swatch IS NULL OR swatch GLOB '#[0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f]'),
  route TEXT NOT NULL,
  dye_id TEXT NOT NULL REFERENCES catalogue (id),
  ties_undyed INTEGER NOT NULL CHECK (ties_undyed IN (0, 1)),
  against TEXT NOT NULL,                 -- why a warning of the trade was set aside at drop-off, or ''
  repeats_lot_id INTEGER REFERENCES lot (id),
  closed_at TEXT,                        -- set once, when every bundle has gone back or is explained
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
CREATE INDEX lot_commission ON lot (commission_id);
CREATE INDEX lot_open ON lot (id) WHERE closed_at IS NULL;

-- The thing that is handed over. It is always in exactly one place, and its ties always add up.
CREATE TABLE bundle (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  n INTEGER NOT NULL CHECK (n > 0),
  ties_in INTEGER NOT NULL CHECK (ties_in BETWEEN 0 AND 200),
  ties_on INTEGER NOT NULL CHECK (ties_on >= 0),
  ties_off INTEGER NOT NULL DEFAULT 0 CHECK (ties_off >= 0),
  ties_lost INTEGER NOT NULL DEFAULT 0 CHECK (ties_lost >= 0),
  dry_weight_g REAL NOT NULL CHECK (dry_weight_g > 0 AND dry_weight_g <= 40000),
  weight_typed TEXT NOT NULL,
  thickness_mm REAL CHECK (thickness_mm > 0 AND thickness_mm <= 50),
  thickness_typed TEXT NOT NULL,
  condition TEXT NOT NULL,
  how_tied TEXT NOT NULL,
  place TEXT NOT NULL CHECK (place IN
    ('arrivals shelf', 'soak tub', 'pot', 'rinse', 'drying line', 'ready shelf', 'handed back', 'not found')),
  load_id INTEGER REFERENCES load (id),
  UNIQUE (lot_id, n),
  CHECK (ties_on + ties_off + ties_lost = ties_in),
  CHECK ((place IN ('soak tub', 'pot', 'rinse', 'drying line')) = (load_id IS NOT NULL))
) STRICT;
CREATE INDEX bundle_here ON bundle (place, lot_id) WHERE place NOT IN ('handed back', 'not found');
CREATE INDEX bundle_load ON bundle (load_id) WHERE load_id IS NOT NULL;

CREATE TRIGGER bundle_as_taken_in BEFORE UPDATE OF lot_id, n, ties_in ON bundle
WHEN OLD.lot_id <> NEW.lot_id OR OLD.n <> NEW.n OR OLD.ties_in <> NEW.ties_in
BEGIN SELECT RAISE(ABORT, 'what was taken in is not changed afterwards'); END;
CREATE TRIGGER bundle_kept BEFORE DELETE ON bundle
BEGIN SELECT RAISE(ABORT, 'a bundle is never deleted'); END;
CREATE TRIGGER lot_kept BEFORE DELETE ON lot
BEGIN SELECT RAISE(ABORT, 'a lot is never deleted'); END;

-- Each move of each bundle, for ever.
CREATE TABLE move (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  from_place TEXT,
  to_place TEXT NOT NULL,
  load_id INTEGER REFERENCES load (id),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  why TEXT NOT NULL
) STRICT;
CREATE INDEX move_bundle ON move (bundle_id, id);
CREATE TRIGGER move_stays BEFORE UPDATE ON move BEGIN SELECT RAISE(ABORT, 'moves are append-only'); END;
CREATE TRIGGER move_kept BEFORE DELETE ON move BEGIN SELECT RAISE(ABORT, 'moves are append-only'); END;
