-- What was said between the dyer and a client belongs to the person: it can be erased once their fibre has gone back, and
-- nothing else of these records changes, then or ever.
DROP TRIGGER client_told_stays;
CREATE TRIGGER client_told_stays BEFORE UPDATE ON client_told
WHEN NOT (NEW.words = 'erased' AND NEW.id = OLD.id AND NEW.lot_id = OLD.lot_id AND NEW.on_day = OLD.on_day
  AND NEW.how = OLD.how AND NEW.at = OLD.at AND NEW.worker_id = OLD.worker_id
  AND EXISTS (SELECT 1 FROM lot WHERE id = OLD.lot_id AND closed_at IS NOT NULL))
BEGIN SELECT RAISE(ABORT, 'what the client was told is append-only'); END;

DROP TRIGGER day_promise_stays;
CREATE TRIGGER day_promise_stays BEFORE UPDATE ON day_promise
WHEN NOT (NEW.words = 'erased' AND NEW.id = OLD.id AND NEW.lot_id = OLD.lot_id AND NEW.day IS OLD.day
  AND NEW.earliest IS OLD.earliest AND NEW.how = OLD.how AND NEW.told_on = OLD.told_on AND NEW.at = OLD.at
  AND NEW.worker_id = OLD.worker_id
  AND EXISTS (SELECT 1 FROM lot WHERE id = OLD.lot_id AND closed_at IS NOT NULL))
BEGIN SELECT RAISE(ABORT, 'what was promised is append-only'); END;

DROP TRIGGER incident_word_stays;
CREATE TRIGGER incident_word_stays BEFORE UPDATE ON incident_word
WHEN NOT (NEW.how IN (OLD.how, 'erased') AND NEW.words IN (OLD.words, 'erased') AND NEW.id = OLD.id
  AND NEW.incident_id = OLD.incident_id AND NEW.kind = OLD.kind AND NEW.at = OLD.at AND NEW.entered_at = OLD.entered_at
  AND NEW.worker_id = OLD.worker_id AND EXISTS (
    SELECT 1 FROM incident JOIN lot ON lot.id = incident.lot_id
    WHERE incident.id = OLD.incident_id AND incident.closed_at IS NOT NULL AND lot.closed_at IS NOT NULL))
BEGIN SELECT RAISE(ABORT, 'what was done about an incident is append-only'); END;

DROP TRIGGER release_mark_stays;
CREATE TRIGGER release_mark_stays BEFORE UPDATE ON release_mark
WHEN NOT (NEW.reason = 'erased' AND NEW.id = OLD.id AND NEW.commission_id = OLD.commission_id AND NEW.held = OLD.held
  AND NEW.at = OLD.at AND NEW.worker_id = OLD.worker_id
  AND NOT EXISTS (SELECT 1 FROM lot WHERE commission_id = OLD.commission_id AND closed_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'marks on a commission are append-only'); END;

DROP TRIGGER hand_back_note_stays;
CREATE TRIGGER hand_back_note_stays BEFORE UPDATE ON hand_back_note
WHEN NOT (NEW.words = 'erased' AND NEW.id = OLD.id AND NEW.hand_back_id = OLD.hand_back_id AND NEW.at = OLD.at
  AND NEW.worker_id = OLD.worker_id AND NOT EXISTS (
    SELECT 1 FROM hand_back h JOIN lot ON lot.commission_id = h.commission_id
    WHERE h.id = OLD.hand_back_id AND lot.closed_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'notes on a hand-back are append-only'); END;

DROP TRIGGER hand_back_sealed;
CREATE TRIGGER hand_back_sealed BEFORE UPDATE
OF id, commission_id, worker_id, at, closed, workshop_name, slip_words, receiver, how, acknowledged, facts ON hand_back
WHEN OLD.closed = 1
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;
CREATE TRIGGER hand_back_words_sealed BEFORE UPDATE OF words, reference, not_signed_because ON hand_back
WHEN OLD.closed = 1 AND NOT (NEW.words IN (OLD.words, 'erased') AND NEW.reference IN (OLD.reference, 'erased')
  AND NEW.not_signed_because IN (OLD.not_signed_because, 'erased')
  AND NOT EXISTS (SELECT 1 FROM lot WHERE commission_id = OLD.commission_id AND closed_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'a closed hand-back is sealed'); END;
