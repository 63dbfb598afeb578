-- How much longer a step takes may be said again, less or more; never less than not at all.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, 'minutes BETWEEN 1 AND 20160', 'minutes BETWEEN -20160 AND 20160 AND minutes <> 0')
WHERE type = 'table' AND name = 'step_overrun';
PRAGMA writable_schema = RESET;
CREATE TRIGGER step_overrun_adds_up BEFORE INSERT ON step_overrun
WHEN NEW.minutes + (SELECT coalesce(sum(minutes), 0) FROM step_overrun WHERE load_id = NEW.load_id AND step_n = NEW.step_n) < 0
BEGIN SELECT RAISE(ABORT, 'a step runs over by nothing or more'); END;
