-- For how many years a client of whom nothing is here any more stays written down, before their erasure is due: one row.
-- NULL: no time is set, and nobody is listed.
CREATE TABLE client_keeping (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  years INTEGER CHECK (years BETWEEN 1 AND 50),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO client_keeping (id, years) VALUES (1, NULL);
