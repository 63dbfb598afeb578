-- Nothing lies here without a day on which it goes back or is talked about. Where a client needs it by no day, the workshop's
-- own number of weeks says which; `day_asked` tells such a day from one that was asked for.
ALTER TABLE drop_off_default ADD COLUMN weeks_without_day INTEGER NOT NULL DEFAULT 6
  CHECK (weeks_without_day BETWEEN 1 AND 52);
ALTER TABLE commission ADD COLUMN day_asked INTEGER NOT NULL DEFAULT 1 CHECK (day_asked IN (0, 1));
