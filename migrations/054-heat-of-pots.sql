-- What heats a pot: nothing, or something that brings it, full, from tap-cold to a simmer in so many minutes (null: nobody has
-- said). A load keeps how long its baths take to get hot in the pot that it was laid for; its minutes have them in.
ALTER TABLE pot ADD COLUMN no_heat INTEGER NOT NULL DEFAULT 0 CHECK (no_heat IN (0, 1));
ALTER TABLE pot ADD COLUMN hot_after_minutes REAL CHECK (hot_after_minutes BETWEEN 1 AND 600)
  CHECK (no_heat = 0 OR hot_after_minutes IS NULL);
ALTER TABLE load_step ADD COLUMN warm_up_minutes REAL NOT NULL DEFAULT 0 CHECK (warm_up_minutes BETWEEN 0 AND minutes);
