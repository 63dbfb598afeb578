-- What was said at drop-off of the fibre and of its use, as lists of words; and how its dry weight was reckoned when it was
-- weighed damp: the formula with its numbers, null when it was weighed dry.
ALTER TABLE lot ADD COLUMN conditions TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(conditions));
ALTER TABLE lot ADD COLUMN purposes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(purposes));
ALTER TABLE lot ADD COLUMN damp TEXT CHECK (damp IS NULL OR json_valid(damp));
