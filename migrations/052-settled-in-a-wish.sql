-- A step may be settled in days or hours in which its client wants nothing done, once they have agreed: who, when and how,
-- in words. Empty: nothing of the kind is settled.
ALTER TABLE plan_pin ADD COLUMN agreed TEXT NOT NULL DEFAULT '' CHECK (agreed = '' OR (starts_at IS NOT NULL AND trim(agreed) <> ''));
