-- Version 5: cracks in mm, stains in mm2; both may be 0, for "looked for, and none". A CHECK cannot be widened in place, so
-- the table is built anew with the same columns in the same order, which is what recorded changes of it are replayed on.

CREATE TABLE measurement_new (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  opening_id INTEGER NOT NULL REFERENCES opening (id),
  survey_id INTEGER NOT NULL REFERENCES survey (id),
  photo_id INTEGER REFERENCES photo (id),
  quantity TEXT NOT NULL
    CONSTRAINT "the quantity must be one of the known quantities"
    CHECK (quantity IN ('hole-diameter', 'hole-ovality', 'laminate-thickness', 'layer-thickness', 'flange-diameter',
                        'bore-diameter', 'backing-thickness', 'backing-width', 'edge-damage', 'moisture-reading',
                        'crack-length', 'stain-area')),
  label TEXT NOT NULL,
  value REAL NOT NULL,
  u95 REAL NOT NULL
    CONSTRAINT "the uncertainty of a measurement must be more than 0 and finite"
    CHECK (u95 > 0 AND u95 < 1e9),
  method TEXT NOT NULL
    CONSTRAINT "the method must be one of the known methods"
    CHECK (method IN ('photo-auto', 'photo-by-hand', 'caliper', 'ultrasonic-gauge', 'steel-rule', 'tape', 'estimate')),
  instrument TEXT NOT NULL,
  trace_json TEXT
    CONSTRAINT "what was seen in a photo must be kept as a JSON object" CHECK (trace_json GLOB '{"*}'),
  note TEXT NOT NULL,
  made_at_utc TEXT NOT NULL
    CONSTRAINT "the time of a measurement must be UTC, written like 2026-04-12T09:30:00Z"
    CHECK (made_at_utc GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'
           AND strftime('%Y-%m-%dT%H:%M:%SZ', made_at_utc, '+0 days') IS made_at_utc),
  supersedes INTEGER
    CONSTRAINT "a measurement can be corrected once; correct the correction" UNIQUE
    CONSTRAINT "a correction comes after what it corrects" CHECK (supersedes < id),
  withdrawn_at_utc TEXT
    CONSTRAINT "the time of a withdrawal must be UTC, written like 2026-04-12T09:30:00Z"
    CHECK (withdrawn_at_utc GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'
           AND strftime('%Y-%m-%dT%H:%M:%SZ', withdrawn_at_utc, '+0 days') IS withdrawn_at_utc),
  CONSTRAINT "a measured length must be more than 0 and at most 100 m, a crack, a chip, a stain or an ovality from 0 up"
    CHECK (CASE quantity
             WHEN 'hole-ovality' THEN value BETWEEN 0 AND 200
             WHEN 'edge-damage' THEN value BETWEEN 0 AND 100000
             WHEN 'crack-length' THEN value BETWEEN 0 AND 100000
             WHEN 'stain-area' THEN value BETWEEN 0 AND 1e10
             WHEN 'moisture-reading' THEN value BETWEEN -1e9 AND 1e9
             ELSE value > 0 AND value <= 100000
           END),
  CONSTRAINT "a layer is gelcoat, laminate or core, and only a layer's thickness names one"
    CHECK (CASE quantity WHEN 'layer-thickness' THEN label IN ('gelcoat', 'laminate', 'core') ELSE label = '' END),
  CONSTRAINT "a value measured in a photo must name the photo"
    CHECK (method NOT IN ('photo-auto', 'photo-by-hand') OR photo_id IS NOT NULL),
  CONSTRAINT "what was seen in a photo must name the photo" CHECK (trace_json IS NULL OR photo_id IS NOT NULL),
  UNIQUE (id, opening_id, quantity),
  FOREIGN KEY (supersedes, opening_id, quantity) REFERENCES measurement (id, opening_id, quantity)
) STRICT;
INSERT INTO measurement_new
  SELECT id, opening_id, survey_id, photo_id, quantity, label, value, u95, method, instrument, trace_json, note, made_at_utc,
         supersedes, withdrawn_at_utc FROM measurement;
-- Ids of records that undo took away are not used again either.
DELETE FROM sqlite_sequence WHERE name = 'measurement_new';
INSERT INTO sqlite_sequence (name, seq) SELECT 'measurement_new', seq FROM sqlite_sequence WHERE name = 'measurement';
DROP TABLE measurement;
ALTER TABLE measurement_new RENAME TO measurement;
CREATE INDEX measurement_of_opening ON measurement (opening_id);
CREATE INDEX measurement_of_survey ON measurement (survey_id);
CREATE INDEX measurement_of_photo ON measurement (photo_id);
CREATE TRIGGER measurement_is_not_edited BEFORE UPDATE ON measurement
WHEN NEW.id IS NOT OLD.id OR NEW.opening_id IS NOT OLD.opening_id OR NEW.survey_id IS NOT OLD.survey_id
  OR NEW.photo_id IS NOT OLD.photo_id OR NEW.quantity IS NOT OLD.quantity OR NEW.label IS NOT OLD.label
  OR NEW.value IS NOT OLD.value OR NEW.u95 IS NOT OLD.u95 OR NEW.method IS NOT OLD.method
  OR NEW.instrument IS NOT OLD.instrument OR NEW.trace_json IS NOT OLD.trace_json OR NEW.note IS NOT OLD.note
  OR NEW.made_at_utc IS NOT OLD.made_at_utc OR NEW.supersedes IS NOT OLD.supersedes
BEGIN SELECT RAISE(ABORT, 'a measurement is corrected by a new one, never edited'); END;
