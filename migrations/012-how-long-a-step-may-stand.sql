-- A step is due after its planned minutes, and late only after these: a bath left overnight may stand through the morning.
ALTER TABLE load_step ADD COLUMN late_after_minutes REAL CHECK (late_after_minutes IS NULL OR late_after_minutes >= minutes);
