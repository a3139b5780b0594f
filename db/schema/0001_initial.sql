-- Version 1. A shipped file is never edited; whatever changes later is a new numbered file.
--
-- Constraints are named in plain words because their names are what people read when one of them refuses a change.
-- There are no cascades: undo replays the exact rows of a change, and a cascade would run ahead of it.
-- A day or time is compared with itself after '+0 days', which is what makes SQLite turn 30 February into 2 March.
-- NULL means "not known". Ids are never used twice (AUTOINCREMENT), so that an id that was seen once stays that record.

CREATE TABLE vessel (
  id INTEGER PRIMARY KEY
    CONSTRAINT "a logbook holds one vessel" CHECK (id = 1),
  name TEXT NOT NULL,
  type TEXT NOT NULL
    CONSTRAINT "the type of a vessel must be one of the known types"
    CHECK (type IN ('sail-monohull', 'sail-multihull', 'power')),
  construction TEXT NOT NULL
    CONSTRAINT "the construction of a hull must be one of the known constructions"
    CHECK (construction IN ('unknown', 'single-skin', 'sandwich', 'timber', 'metal')),
  length_mm REAL
    CONSTRAINT "the length of a vessel must be more than 0 and at most 100 m"
    CHECK (length_mm > 0 AND length_mm <= 100000),
  beam_mm REAL
    CONSTRAINT "the beam of a vessel must be more than 0 and at most 50 m"
    CHECK (beam_mm > 0 AND beam_mm <= 50000),
  draught_mm REAL
    CONSTRAINT "the draught of a vessel must be from 0 to 20 m"
    CHECK (draught_mm BETWEEN 0 AND 20000),
  freeboard_mm REAL
    CONSTRAINT "the freeboard of a vessel must be from 0 to 20 m"
    CHECK (freeboard_mm BETWEEN 0 AND 20000),
  loaded_sinkage_mm REAL NOT NULL
    CONSTRAINT "the sinkage of a vessel when laden must be from 0 to 5 m"
    CHECK (loaded_sinkage_mm BETWEEN 0 AND 5000),
  heel_deg REAL
    CONSTRAINT "the heel of a vessel must be from 0 to 90 degrees"
    CHECK (heel_deg BETWEEN 0 AND 90),
  built TEXT NOT NULL,
  notes TEXT NOT NULL
) STRICT;

CREATE TABLE opening (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  tag TEXT NOT NULL COLLATE NOCASE
    CONSTRAINT "two openings cannot share one tag" UNIQUE
    CONSTRAINT "the tag of an opening must be 1 to 40 characters with no space before or after"
    CHECK (length(tag) BETWEEN 1 AND 40 AND tag = trim(tag)),
  service TEXT
    CONSTRAINT "a service that is not known is left out, not empty" CHECK (service <> ''),
  side TEXT NOT NULL
    CONSTRAINT "the side of an opening must be port, starboard or centreline"
    CHECK (side IN ('port', 'starboard', 'centreline')),
  from_bow_mm REAL
    CONSTRAINT "the distance of an opening from the bow must be within 100 m"
    CHECK (from_bow_mm BETWEEN -100000 AND 100000),
  height_mm REAL
    CONSTRAINT "the height of an opening must be within 20 m of the waterline"
    CHECK (height_mm BETWEEN -20000 AND 20000),
  half_breadth_mm REAL
    CONSTRAINT "the distance of an opening from the centreline must be from 0 to 25 m"
    CHECK (half_breadth_mm BETWEEN 0 AND 25000),
  construction TEXT NOT NULL
    CONSTRAINT "the construction at an opening must be one of the known constructions"
    CHECK (construction IN ('unknown', 'single-skin', 'sandwich', 'timber', 'metal')),
  notes TEXT NOT NULL
) STRICT;

-- The fitting that sits in the opening now, hence one at most.
CREATE TABLE fitting (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  opening_id INTEGER NOT NULL REFERENCES opening (id)
    CONSTRAINT "an opening holds one fitting" UNIQUE,
  kind TEXT
    CONSTRAINT "a kind of fitting that is not known is left out, not empty" CHECK (kind <> ''),
  material TEXT
    CONSTRAINT "a material that is not known is left out, not empty" CHECK (material <> ''),
  nominal_size TEXT NOT NULL,
  thread TEXT
    CONSTRAINT "a thread that is not known is left out, not empty" CHECK (thread <> ''),
  fitted TEXT NOT NULL,
  notes TEXT NOT NULL
) STRICT;

CREATE TABLE survey (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  date TEXT NOT NULL
    CONSTRAINT "the date of a survey must be a day of the calendar, written like 2026-04-12"
    CHECK (date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]' AND date(date, '+0 days') IS date),
  title TEXT NOT NULL,
  surveyor TEXT NOT NULL,
  afloat TEXT NOT NULL
    CONSTRAINT "a survey is made ashore or afloat" CHECK (afloat IN ('ashore', 'afloat')),
  notes TEXT NOT NULL
) STRICT;

CREATE TABLE observation (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  opening_id INTEGER NOT NULL REFERENCES opening (id),
  survey_id INTEGER NOT NULL REFERENCES survey (id),
  seen TEXT NOT NULL
    CONSTRAINT "an opening was looked at, not looked at, or is to be confirmed"
    CHECK (seen IN ('not-looked-at', 'to-be-confirmed', 'looked')),
  condition TEXT NOT NULL
    CONSTRAINT "the condition must be one of the known conditions"
    CHECK (condition IN ('unknown', 'sound', 'worn', 'poor', 'failed')),
  waterline TEXT NOT NULL
    CONSTRAINT "the place at the waterline must be one of the known places"
    CHECK (waterline IN ('unknown', 'below-waterline', 'wetted-when-heeled', 'above')),
  fitting_material TEXT
    CONSTRAINT "a material that was not seen is left out, not empty" CHECK (fitting_material <> ''),
  valve_kind TEXT
    CONSTRAINT "a kind of valve that is not known is left out, not empty" CHECK (valve_kind <> ''),
  valve TEXT NOT NULL
    CONSTRAINT "the state of the valve must be one of the known states"
    CHECK (valve IN ('unknown', 'none', 'works', 'stiff', 'seized')),
  backing TEXT NOT NULL
    CONSTRAINT "the backing is present, absent or not known"
    CHECK (backing IN ('unknown', 'none', 'present')),
  backing_material TEXT
    CONSTRAINT "a material of the backing that is not known is left out, not empty" CHECK (backing_material <> ''),
  backing_thickness_mm REAL
    CONSTRAINT "the thickness of the backing must be more than 0 and at most 1 m"
    CHECK (backing_thickness_mm > 0 AND backing_thickness_mm <= 1000),
  hose TEXT NOT NULL,
  notes TEXT NOT NULL,
  CONSTRAINT "an opening has one observation in a survey" UNIQUE (opening_id, survey_id)
) STRICT;
CREATE INDEX observation_of_survey ON observation (survey_id);

-- One row per original in photos/. Kept for good: not part of undo, never updated, never deleted.
CREATE TABLE photo (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  sha256 TEXT NOT NULL
    CONSTRAINT "an original is kept once" UNIQUE
    CONSTRAINT "a SHA-256 is 64 hexadecimal digits in lower case"
    CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  original_name TEXT NOT NULL
    CONSTRAINT "the name of a photo must be a file name without folders"
    CHECK (original_name <> '' AND instr(original_name, '/') = 0),
  media_type TEXT NOT NULL
    CONSTRAINT "a photo must be JPEG, PNG, TIFF, WebP or HEIC"
    CHECK (media_type IN ('image/jpeg', 'image/png', 'image/tiff', 'image/webp', 'image/heic')),
  size_bytes INTEGER NOT NULL
    CONSTRAINT "a photo must hold at least one byte" CHECK (size_bytes > 0),
  width_px INTEGER NOT NULL
    CONSTRAINT "the width of a photo must be 1 to 1000000 pixels" CHECK (width_px BETWEEN 1 AND 1000000),
  height_px INTEGER NOT NULL
    CONSTRAINT "the height of a photo must be 1 to 1000000 pixels" CHECK (height_px BETWEEN 1 AND 1000000),
  exif_orientation INTEGER NOT NULL
    CONSTRAINT "the orientation of a photo must be 1 to 8" CHECK (exif_orientation BETWEEN 1 AND 8),
  taken_at TEXT
    CONSTRAINT "the time a photo was taken must be written like 2026-04-12T09:30:00"
    CHECK (taken_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]'
           AND strftime('%Y-%m-%dT%H:%M:%S', taken_at, '+0 days') IS taken_at),
  camera TEXT
    CONSTRAINT "a camera that is not known is left out, not empty" CHECK (camera <> ''),
  focal_35mm_mm REAL
    CONSTRAINT "the focal length of a photo must be more than 0 and at most 10 m"
    CHECK (focal_35mm_mm > 0 AND focal_35mm_mm <= 10000),
  imported_at_utc TEXT NOT NULL
    CONSTRAINT "the time of import must be UTC, written like 2026-04-12T09:30:00Z"
    CHECK (imported_at_utc GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'
           AND strftime('%Y-%m-%dT%H:%M:%SZ', imported_at_utc, '+0 days') IS imported_at_utc)
) STRICT;
CREATE TRIGGER photo_is_not_changed BEFORE UPDATE ON photo
BEGIN SELECT RAISE(ABORT, 'the record of an original is never changed'); END;
CREATE TRIGGER photo_is_not_removed BEFORE DELETE ON photo
BEGIN SELECT RAISE(ABORT, 'an original, once kept, stays'); END;

CREATE TABLE photo_use (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  photo_id INTEGER NOT NULL REFERENCES photo (id),
  survey_id INTEGER NOT NULL REFERENCES survey (id),
  opening_id INTEGER REFERENCES opening (id),
  caption TEXT NOT NULL,
  finding TEXT NOT NULL,
  CONSTRAINT "a photo is filed once with an opening in a survey" UNIQUE (photo_id, survey_id, opening_id)
) STRICT;
-- NULLs are distinct to UNIQUE, so the photos that belong to no opening yet need their own.
CREATE UNIQUE INDEX photo_use_unfiled_once ON photo_use (photo_id, survey_id) WHERE opening_id IS NULL;
CREATE INDEX photo_use_of_survey ON photo_use (survey_id);
CREATE INDEX photo_use_of_opening ON photo_use (opening_id);

-- `value` and `u95` are in the unit that `quantity` names: mm, percent, or the scale of the moisture meter.
CREATE TABLE measurement (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  opening_id INTEGER NOT NULL REFERENCES opening (id),
  survey_id INTEGER NOT NULL REFERENCES survey (id),
  photo_id INTEGER REFERENCES photo (id),
  quantity TEXT NOT NULL
    CONSTRAINT "the quantity must be one of the known quantities"
    CHECK (quantity IN ('hole-diameter', 'hole-ovality', 'laminate-thickness', 'layer-thickness', 'flange-diameter',
                        'bore-diameter', 'backing-thickness', 'backing-width', 'edge-damage', 'moisture-reading')),
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
    -- json_valid() would say more, but a schema that is not trusted may not call it (SQLite 3.40).
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
  CONSTRAINT "a measured length must be more than 0 and at most 100 m, a chip or an ovality from 0 up"
    CHECK (CASE quantity
             WHEN 'hole-ovality' THEN value BETWEEN 0 AND 200
             WHEN 'edge-damage' THEN value BETWEEN 0 AND 100000
             WHEN 'moisture-reading' THEN value BETWEEN -1e9 AND 1e9
             ELSE value > 0 AND value <= 100000
           END),
  CONSTRAINT "a layer is gelcoat, laminate or core, and only a layer's thickness names one"
    CHECK (CASE quantity WHEN 'layer-thickness' THEN label IN ('gelcoat', 'laminate', 'core') ELSE label = '' END),
  CONSTRAINT "a value measured in a photo must name the photo"
    CHECK (method NOT IN ('photo-auto', 'photo-by-hand') OR photo_id IS NOT NULL),
  CONSTRAINT "what was seen in a photo must name the photo" CHECK (trace_json IS NULL OR photo_id IS NOT NULL),
  -- A correction is of the same opening and quantity as what it corrects; which layer it was may be what was wrong.
  UNIQUE (id, opening_id, quantity),
  FOREIGN KEY (supersedes, opening_id, quantity) REFERENCES measurement (id, opening_id, quantity)
) STRICT;
CREATE INDEX measurement_of_opening ON measurement (opening_id);
CREATE INDEX measurement_of_survey ON measurement (survey_id);
CREATE INDEX measurement_of_photo ON measurement (photo_id);
-- Everything but the withdrawal stays as it was recorded. Written with IS NOT because a replay of changes may name
-- columns that it does not change.
CREATE TRIGGER measurement_is_not_edited BEFORE UPDATE ON measurement
WHEN NEW.id IS NOT OLD.id OR NEW.opening_id IS NOT OLD.opening_id OR NEW.survey_id IS NOT OLD.survey_id
  OR NEW.photo_id IS NOT OLD.photo_id OR NEW.quantity IS NOT OLD.quantity OR NEW.label IS NOT OLD.label
  OR NEW.value IS NOT OLD.value OR NEW.u95 IS NOT OLD.u95 OR NEW.method IS NOT OLD.method
  OR NEW.instrument IS NOT OLD.instrument OR NEW.trace_json IS NOT OLD.trace_json OR NEW.note IS NOT OLD.note
  OR NEW.made_at_utc IS NOT OLD.made_at_utc OR NEW.supersedes IS NOT OLD.supersedes
BEGIN SELECT RAISE(ABORT, 'a measurement is corrected by a new one, never edited'); END;

-- `u` is a standard uncertainty in the unit of the measurement it belongs to.
CREATE TABLE budget_term (
  measurement_id INTEGER NOT NULL REFERENCES measurement (id),
  position INTEGER NOT NULL
    CONSTRAINT "the terms of a budget are counted from 0" CHECK (position >= 0),
  term TEXT NOT NULL
    CONSTRAINT "a term of a budget needs a name" CHECK (term <> ''),
  u REAL NOT NULL
    CONSTRAINT "a term of a budget must be 0 or more and finite" CHECK (u >= 0 AND u < 1e9),
  PRIMARY KEY (measurement_id, position)
) STRICT;
CREATE TRIGGER budget_term_is_not_edited BEFORE UPDATE ON budget_term
BEGIN SELECT RAISE(ABORT, 'a measurement is corrected by a new one, never edited'); END;

-- Every edit, so that it can be undone and redone after a restart. An edit that was undone and then passed over by a
-- new one is 'abandoned': it can no longer be redone, but what was once recorded is not thrown away.
CREATE TABLE journal (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL
    CONSTRAINT "a change needs a name" CHECK (trim(name) <> ''),
  made_at_utc TEXT NOT NULL
    CONSTRAINT "the time of a change must be UTC, written like 2026-04-12T09:30:00Z"
    CHECK (made_at_utc GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'
           AND strftime('%Y-%m-%dT%H:%M:%SZ', made_at_utc, '+0 days') IS made_at_utc),
  state TEXT NOT NULL
    CONSTRAINT "a change is done, undone or abandoned" CHECK (state IN ('done', 'undone', 'abandoned'))
) STRICT;
CREATE INDEX journal_by_state ON journal (state, id);

-- One changeset per record that was saved, replayed in order. One for the whole edit would not do: two openings that
-- swap their tags cannot be put back in any order without breaking the rule of one tag.
CREATE TABLE journal_step (
  journal_id INTEGER NOT NULL REFERENCES journal (id),
  step INTEGER NOT NULL
    CONSTRAINT "the steps of a change are counted from 0" CHECK (step >= 0),
  changeset BLOB NOT NULL
    CONSTRAINT "a step of a change must change something" CHECK (length(changeset) > 0),
  PRIMARY KEY (journal_id, step)
) STRICT;
