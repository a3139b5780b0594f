PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
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
, trim_deg REAL
  CONSTRAINT "the trim of a vessel must be from 0 to 20 degrees" CHECK (trim_deg BETWEEN 0 AND 20)) STRICT;
INSERT INTO vessel VALUES(1,'Zwölfer','sail-monohull','unknown',9980.0,NULL,NULL,NULL,0.0,25.0,'','',NULL);
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
, hull_radius_mm REAL
  CONSTRAINT "the radius of the hull must be more than 0 and at most 1 km"
  CHECK (hull_radius_mm > 0 AND hull_radius_mm <= 1000000), frame_mm REAL
  CONSTRAINT "the distance to a frame must be more than 0 and at most 20 m"
  CHECK (frame_mm > 0 AND frame_mm <= 20000), clear_depth_mm REAL
  CONSTRAINT "the clear room inwards must be more than 0 and at most 20 m"
  CHECK (clear_depth_mm > 0 AND clear_depth_mm <= 20000), clear_width_mm REAL
  CONSTRAINT "the clear room across must be more than 0 and at most 20 m"
  CHECK (clear_width_mm > 0 AND clear_width_mm <= 20000), reach TEXT NOT NULL DEFAULT 'unknown'
  CONSTRAINT "how an opening is reached must be one of the known ways"
  CHECK (reach IN ('unknown', 'readily', 'with-tools', 'by-dismantling')), reach_s REAL
  CONSTRAINT "the time to reach an opening must be from 0 to a day" CHECK (reach_s BETWEEN 0 AND 86400)) STRICT;
INSERT INTO opening VALUES(1,'P-01','sink-drain','port',NULL,NULL,NULL,'unknown','',NULL,NULL,NULL,NULL,'unknown',NULL);
INSERT INTO opening VALUES(2,'P-02','sink-drain','port',NULL,NULL,NULL,'unknown','',NULL,NULL,NULL,NULL,'unknown',NULL);
INSERT INTO opening VALUES(4,'P-03','sink-drain','port',NULL,NULL,NULL,'unknown','',NULL,NULL,NULL,NULL,'unknown',NULL);
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
, valve_thread TEXT
  CONSTRAINT "a valve's thread that is not known is left out, not empty" CHECK (valve_thread <> ''), valve_material TEXT
  CONSTRAINT "a valve's material that is not known is left out, not empty" CHECK (valve_material <> ''), tail_material TEXT
  CONSTRAINT "a tail's material that is not known is left out, not empty" CHECK (tail_material <> ''), bedding TEXT
  CONSTRAINT "a bedding that is not known is left out, not empty" CHECK (bedding <> ''), shank_mm REAL
  CONSTRAINT "the shank of a fitting must be more than 0 and at most 2 m" CHECK (shank_mm > 0 AND shank_mm <= 2000), thread_length_mm REAL
  CONSTRAINT "the thread of a fitting must be more than 0 and at most 2 m long"
  CHECK (thread_length_mm > 0 AND thread_length_mm <= 2000), nut_mm REAL
  CONSTRAINT "the nut of a fitting must be more than 0 and at most 1 m thick" CHECK (nut_mm > 0 AND nut_mm <= 1000), stack_mm REAL
  CONSTRAINT "the height of a fitting inside must be more than 0 and at most 5 m"
  CHECK (stack_mm > 0 AND stack_mm <= 5000), tail_mm REAL
  CONSTRAINT "the tail of a fitting must be more than 0 and at most 2 m long" CHECK (tail_mm > 0 AND tail_mm <= 2000), bore_mm REAL
  CONSTRAINT "the bore of a hose must be more than 0 and at most 1 m" CHECK (bore_mm > 0 AND bore_mm <= 1000), bend_mm REAL
  CONSTRAINT "the bend of a hose must be more than 0 and at most 5 m" CHECK (bend_mm > 0 AND bend_mm <= 5000), next_size TEXT NOT NULL DEFAULT '', next_material TEXT
  CONSTRAINT "the next fitting's material, where not known, is left out, not empty" CHECK (next_material <> ''), next_shank_mm REAL
  CONSTRAINT "the shank of the next fitting must be more than 0 and at most 2 m"
  CHECK (next_shank_mm > 0 AND next_shank_mm <= 2000), next_flange_mm REAL
  CONSTRAINT "the flange of the next fitting must be more than 0 and at most 2 m"
  CHECK (next_flange_mm > 0 AND next_flange_mm <= 2000), next_thread_length_mm REAL
  CONSTRAINT "the thread of the next fitting must be more than 0 and at most 2 m long"
  CHECK (next_thread_length_mm > 0 AND next_thread_length_mm <= 2000)) STRICT;
INSERT INTO fitting VALUES(1,1,'flanged','bronze','1-1/2 in',NULL,'1998','',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'',NULL,NULL,NULL,NULL);
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
INSERT INTO survey VALUES(1,'2025-10-03','Spring','','ashore','');
INSERT INTO survey VALUES(2,'2026-04-12','Spring','','ashore','');
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
  notes TEXT NOT NULL, findings TEXT NOT NULL DEFAULT ''
  CONSTRAINT "findings are words with one space between them"
  CHECK (findings = trim(findings) AND findings NOT GLOB '*[^-0-9a-z ]*' AND instr(findings, '  ') = 0), clips REAL
  CONSTRAINT "the clips on a tail are counted from 0 to 9" CHECK (clips BETWEEN 0 AND 9 AND clips = round(clips)), plug TEXT NOT NULL DEFAULT 'unknown'
  CONSTRAINT "a plug is tied beside it, absent or not known" CHECK (plug IN ('unknown', 'none', 'tied')), bonding_ohm REAL
  CONSTRAINT "a bonding resistance must be 0 or more and finite" CHECK (bonding_ohm >= 0 AND bonding_ohm < 1e9),
  CONSTRAINT "an opening has one observation in a survey" UNIQUE (opening_id, survey_id)
) STRICT;
INSERT INTO observation VALUES(1,1,2,'not-looked-at','worn','unknown',NULL,NULL,'unknown','unknown',NULL,18.0,'','','',NULL,'unknown',NULL);
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
INSERT INTO photo VALUES(1,'2740679680bc28f66420c9fd5a36ee49c991807d4f5aaa5051790263932003c4','hole.jpg','image/jpeg',29,4000,3000,1,NULL,NULL,NULL,'2026-11-27T05:34:37Z');
CREATE TABLE photo_use (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  photo_id INTEGER NOT NULL REFERENCES photo (id),
  survey_id INTEGER NOT NULL REFERENCES survey (id),
  opening_id INTEGER REFERENCES opening (id),
  caption TEXT NOT NULL,
  finding TEXT NOT NULL,
  CONSTRAINT "a photo is filed once with an opening in a survey" UNIQUE (photo_id, survey_id, opening_id)
) STRICT;
INSERT INTO photo_use VALUES(1,1,2,1,'from inside','hole 38.12 mm');
INSERT INTO photo_use VALUES(2,1,2,NULL,'','');
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
INSERT INTO measurement VALUES(1,1,2,1,'hole-diameter','',38.119999999999997441,0.10000000000000000555,'photo-auto','caliper 0.05 mm','{"by_hand":[],"centre":[7.0,8.0],"outline":[[5.0,6.0]],"reference_kind":"card","reference_length_mm":null,"reference_outline":[[1.0,2.0],[3.0,4.25]]}','','2026-04-12T09:30:00Z',NULL,NULL);
INSERT INTO measurement VALUES(2,1,2,NULL,'hole-diameter','',38.399999999999998578,0.10000000000000000555,'caliper','caliper 0.05 mm',NULL,'','2026-04-12T09:30:00Z',NULL,NULL);
INSERT INTO measurement VALUES(3,1,2,NULL,'hole-diameter','',38.399999999999998578,0.10000000000000000555,'caliper','caliper 0.05 mm',NULL,'','2026-04-12T09:30:00Z',2,NULL);
INSERT INTO measurement VALUES(4,1,2,NULL,'hole-diameter','',83.400000000000005682,0.10000000000000000555,'caliper','caliper 0.05 mm',NULL,'','2026-04-12T09:30:00Z',NULL,'2026-11-27T05:34:37Z');
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
INSERT INTO budget_term VALUES(1,0,'caliper scale',0.029999999999999998889);
INSERT INTO budget_term VALUES(1,1,'feel',0.040000000000000000832);
INSERT INTO budget_term VALUES(2,0,'caliper scale',0.029999999999999998889);
INSERT INTO budget_term VALUES(2,1,'feel',0.040000000000000000832);
INSERT INTO budget_term VALUES(3,0,'caliper scale',0.029999999999999998889);
INSERT INTO budget_term VALUES(3,1,'feel',0.040000000000000000832);
INSERT INTO budget_term VALUES(4,0,'caliper scale',0.029999999999999998889);
INSERT INTO budget_term VALUES(4,1,'feel',0.040000000000000000832);
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
INSERT INTO journal VALUES(1,'Begin the logbook','2026-11-27T05:34:37Z','done');
INSERT INTO journal VALUES(2,'Import hole.jpg','2026-11-27T05:34:37Z','done');
INSERT INTO journal VALUES(3,'Add the sink''s run','2026-11-27T05:34:37Z','done');
INSERT INTO journal VALUES(4,'Correct','2026-11-27T05:34:37Z','done');
INSERT INTO journal VALUES(5,'Add P-98','2026-11-27T05:34:37Z','abandoned');
INSERT INTO journal VALUES(6,'Add P-03','2026-11-27T05:34:37Z','done');
INSERT INTO journal VALUES(7,'Add P-99','2026-11-27T05:34:37Z','undone');
CREATE TABLE journal_step (
  journal_id INTEGER NOT NULL REFERENCES journal (id),
  step INTEGER NOT NULL
    CONSTRAINT "the steps of a change are counted from 0" CHECK (step >= 0),
  changeset BLOB NOT NULL
    CONSTRAINT "a step of a change must change something" CHECK (length(changeset) > 0),
  PRIMARY KEY (journal_id, step)
) STRICT;
INSERT INTO journal_step VALUES(1,0,X'540d0100000000000000000000000076657373656c00120001000000000000000103085a77c3b66c666572030d7361696c2d6d6f6e6f68756c6c0307756e6b6e6f776e0240c37e00000000000505050200000000000000000240390000000000000300030005');
INSERT INTO journal_step VALUES(1,1,X'540f0100000000000000000000000000006f70656e696e670012000100000000000000010304502d3031030a73696e6b2d647261696e0304706f72740505050307756e6b6e6f776e0300050505050307756e6b6e6f776e05');
INSERT INTO journal_step VALUES(1,2,X'540f0100000000000000000000000000006f70656e696e670012000100000000000000020304502d3032030a73696e6b2d647261696e0304706f72740505050307756e6b6e6f776e0300050505050307756e6b6e6f776e05');
INSERT INTO journal_step VALUES(1,3,X'5406010000000000737572766579001200010000000000000001030a323032352d31302d30330306537072696e67030003066173686f72650300');
INSERT INTO journal_step VALUES(1,4,X'5406010000000000737572766579001200010000000000000002030a323032362d30342d31320306537072696e67030003066173686f72650300');
INSERT INTO journal_step VALUES(1,5,X'541801000000000000000000000000000000000000000000000066697474696e670012000100000000000000010100000000000000010307666c616e676564030662726f6e7a650308312d312f3220696e0503043139393803000505050505050505050505030005050505');
INSERT INTO journal_step VALUES(1,6,X'54120100000000000000000000000000000000006f62736572766174696f6e001200010000000000000001010000000000000001010000000000000002030d6e6f742d6c6f6f6b65642d61740304776f726e0307756e6b6e6f776e05050307756e6b6e6f776e0307756e6b6e6f776e05024032000000000000030003000300050307756e6b6e6f776e05');
INSERT INTO journal_step VALUES(2,0,X'540601000000000070686f746f5f757365001200010000000000000001010000000000000001010000000000000002010000000000000001030b66726f6d20696e73696465030d686f6c652033382e3132206d6d');
INSERT INTO journal_step VALUES(2,1,X'540601000000000070686f746f5f7573650012000100000000000000020100000000000000010100000000000000020503000300');
INSERT INTO journal_step VALUES(2,2,X'540f0100000000000000000000000000006d6561737572656d656e74001200010000000000000001010000000000000001010000000000000002010000000000000001030d686f6c652d6469616d6574657203000240430f5c28f5c28f023fb999999999999a030a70686f746f2d6175746f030f63616c6970657220302e3035206d6d0381157b2262795f68616e64223a5b5d2c2263656e747265223a5b372e302c382e305d2c226f75746c696e65223a5b5b352e302c362e305d5d2c227265666572656e63655f6b696e64223a2263617264222c227265666572656e63655f6c656e6774685f6d6d223a6e756c6c2c227265666572656e63655f6f75746c696e65223a5b5b312e302c322e305d2c5b332e302c342e32355d5d7d03000314323032362d30342d31325430393a33303a30305a05055404010200006275646765745f7465726d00120001000000000000000101000000000000000103046665656c023fa47ae147ae147b1200010000000000000001010000000000000000030d63616c69706572207363616c65023f9eb851eb851eb8');
INSERT INTO journal_step VALUES(3,0,X'540a0100000000000000000072756e0012000100000000000000010100000000000000010505030b67616c6c65792073696e6b024079a00000000000024064000000000000024022000000000000050300540a0102000000000000000072756e5f706172740012000100000000000000010100000000000000000304686f7365024043000000000000024092c0000000000002c072c00000000000024000000000000000050100000000000000000300');
INSERT INTO journal_step VALUES(3,1,X'54040100000062696c676500120001000000000000000102408c2000000000000505');
INSERT INTO journal_step VALUES(3,2,X'5403010000796172645f7461626c65001200010000000000000001030e7468726573686f6c64732e637376030e6b65792c76616c75650a782c310a');
INSERT INTO journal_step VALUES(4,0,X'540f0100000000000000000000000000006d6561737572656d656e7400120001000000000000000201000000000000000101000000000000000205030d686f6c652d6469616d657465720300024043333333333333023fb999999999999a030763616c69706572030f63616c6970657220302e3035206d6d0503000314323032362d30342d31325430393a33303a30305a05055404010200006275646765745f7465726d00120001000000000000000201000000000000000103046665656c023fa47ae147ae147b1200010000000000000002010000000000000000030d63616c69706572207363616c65023f9eb851eb851eb8');
INSERT INTO journal_step VALUES(4,1,X'540f0100000000000000000000000000006d6561737572656d656e7400120001000000000000000301000000000000000101000000000000000205030d686f6c652d6469616d657465720300024043333333333333023fb999999999999a030763616c69706572030f63616c6970657220302e3035206d6d0503000314323032362d30342d31325430393a33303a30305a010000000000000002055404010200006275646765745f7465726d00120001000000000000000301000000000000000103046665656c023fa47ae147ae147b1200010000000000000003010000000000000000030d63616c69706572207363616c65023f9eb851eb851eb8');
INSERT INTO journal_step VALUES(4,2,X'540f0100000000000000000000000000006d6561737572656d656e7400120001000000000000000401000000000000000101000000000000000205030d686f6c652d6469616d657465720300024054d9999999999a023fb999999999999a030763616c69706572030f63616c6970657220302e3035206d6d0503000314323032362d30342d31325430393a33303a30305a05055404010200006275646765745f7465726d00120001000000000000000401000000000000000103046665656c023fa47ae147ae147b1200010000000000000004010000000000000000030d63616c69706572207363616c65023f9eb851eb851eb8');
INSERT INTO journal_step VALUES(4,3,X'540f0100000000000000000000000000006d6561737572656d656e74001700010000000000000004000000000000000000000000000500000000000000000000000000000314323032362d31312d32375430353a33343a33375a');
INSERT INTO journal_step VALUES(5,0,X'540f0100000000000000000000000000006f70656e696e670012000100000000000000030304502d3938030a73696e6b2d647261696e0304706f72740505050307756e6b6e6f776e0300050505050307756e6b6e6f776e05');
INSERT INTO journal_step VALUES(6,0,X'540f0100000000000000000000000000006f70656e696e670012000100000000000000040304502d3033030a73696e6b2d647261696e0304706f72740505050307756e6b6e6f776e0300050505050307756e6b6e6f776e05');
INSERT INTO journal_step VALUES(7,0,X'540f0100000000000000000000000000006f70656e696e670012000100000000000000050304502d3939030a73696e6b2d647261696e0304706f72740505050307756e6b6e6f776e0300050505050307756e6b6e6f776e05');
CREATE TABLE run (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  opening_id INTEGER NOT NULL REFERENCES opening (id),
  joins_run_id INTEGER REFERENCES run (id),
  joins_behind_part INTEGER
    CONSTRAINT "a run that joins another says behind which part" CHECK ((joins_behind_part IS NULL) = (joins_run_id IS NULL)),
  name TEXT NOT NULL,
  outlet_height_mm REAL,
  basin_depth_mm REAL,
  basin_litres REAL,
  from_centreline_mm REAL,
  notes TEXT NOT NULL
) STRICT;
INSERT INTO run VALUES(1,1,NULL,NULL,'galley sink',410.0,160.0,9.0,NULL,'');
CREATE TABLE run_part (
  run_id INTEGER NOT NULL REFERENCES run (id),
  position INTEGER NOT NULL
    CONSTRAINT "the parts of a run are counted from 0" CHECK (position >= 0),
  part TEXT NOT NULL
    CONSTRAINT "a part of a run needs its kind" CHECK (part <> ''),
  bore_mm REAL,
  length_mm REAL,
  rise_mm REAL,
  bends REAL,
  curve TEXT
    CONSTRAINT "a pump curve that is not known is left out, not empty" CHECK (curve <> ''),
  turned INTEGER NOT NULL
    CONSTRAINT "a part lies one way or the other" CHECK (turned IN (0, 1)),
  note TEXT NOT NULL,
  PRIMARY KEY (run_id, position)
) STRICT;
INSERT INTO run_part VALUES(1,0,'hose',38.0,1200.0,-300.0,2.0,NULL,0,'');
CREATE TABLE bilge (
  id INTEGER PRIMARY KEY
    CONSTRAINT "a logbook holds one bilge" CHECK (id = 1),
  sole_litres REAL
    CONSTRAINT "the water that covers the sole must be more than 0 and at most 1000000 litres"
    CHECK (sole_litres > 0 AND sole_litres <= 1000000),
  waterplane_m2 REAL
    CONSTRAINT "the waterplane must be more than 0 and at most 2000 square metres"
    CHECK (waterplane_m2 > 0 AND waterplane_m2 <= 2000),
  other_pumps_lpm REAL
    CONSTRAINT "what the other pumps deliver must be from 0 to 100000 litres a minute"
    CHECK (other_pumps_lpm BETWEEN 0 AND 100000)
) STRICT;
INSERT INTO bilge VALUES(1,900.0,NULL,NULL);
CREATE TABLE yard_table (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL
    CONSTRAINT "a table is laid over once" UNIQUE
    CONSTRAINT "a table of the yard needs the name of a table" CHECK (name GLOB '*?.csv'),
  csv TEXT NOT NULL
    CONSTRAINT "a table of the yard must hold rows" CHECK (trim(csv) <> '')
) STRICT;
INSERT INTO yard_table VALUES(1,'thresholds.csv',replace('key,value\nx,1\n','\n',char(10)));
CREATE TABLE camera_profile (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  camera TEXT NOT NULL
    CONSTRAINT "a camera profile names its camera" CHECK (camera <> ''),
  focal_mm REAL
    CONSTRAINT "the focal length of a camera profile must be more than 0 and at most 10 m"
    CHECK (focal_mm > 0 AND focal_mm <= 10000),
  focal_35mm_mm REAL
    CONSTRAINT "the 35 mm equivalent of a camera profile must be more than 0 and at most 10 m"
    CHECK (focal_35mm_mm > 0 AND focal_35mm_mm <= 10000),
  digital_zoom REAL NOT NULL
    CONSTRAINT "the digital zoom of a camera profile must be from 1 to 100" CHECK (digital_zoom BETWEEN 1 AND 100),
  width_px INTEGER NOT NULL
    CONSTRAINT "the width of a calibrated picture must be from 1 to 100000 pixels" CHECK (width_px BETWEEN 1 AND 100000),
  height_px INTEGER NOT NULL
    CONSTRAINT "the height of a calibrated picture must be from 1 to 100000 pixels" CHECK (height_px BETWEEN 1 AND 100000),
  focal_px REAL NOT NULL
    CONSTRAINT "a calibrated focal length must be more than 0 and finite" CHECK (focal_px > 0 AND focal_px < 1e9),
  u_log_focal REAL NOT NULL
    CONSTRAINT "the uncertainty of a calibrated focal length must be more than 0 and below 1"
    CHECK (u_log_focal > 0 AND u_log_focal < 1),
  k1 REAL NOT NULL
    CONSTRAINT "the distortion of a lens must be within 10" CHECK (k1 BETWEEN -10 AND 10),
  u_k1 REAL NOT NULL
    CONSTRAINT "the uncertainty of a lens's distortion must be more than 0 and at most 10" CHECK (u_k1 > 0 AND u_k1 <= 10),
  k2 REAL NOT NULL
    CONSTRAINT "the second distortion of a lens must be within 10" CHECK (k2 BETWEEN -10 AND 10),
  u_k2 REAL NOT NULL
    CONSTRAINT "the uncertainty of a lens's second distortion must be more than 0 and at most 10"
    CHECK (u_k2 > 0 AND u_k2 <= 10),
  k_correlation REAL NOT NULL
    CONSTRAINT "a correlation must lie between -1 and 1" CHECK (k_correlation > -1 AND k_correlation < 1),
  centre_x_px REAL NOT NULL
    CONSTRAINT "the axis of a lens must lie near the picture" CHECK (centre_x_px BETWEEN -1e6 AND 1e6),
  centre_y_px REAL NOT NULL
    CONSTRAINT "the axis of a lens must lie near its picture" CHECK (centre_y_px BETWEEN -1e6 AND 1e6),
  u_centre_px REAL NOT NULL
    CONSTRAINT "the uncertainty of a lens's axis must be more than 0 and finite" CHECK (u_centre_px > 0 AND u_centre_px < 1e6),
  photos INTEGER NOT NULL
    CONSTRAINT "a camera profile rests on at least one photo" CHECK (photos >= 1),
  rms_px REAL NOT NULL
    CONSTRAINT "the scatter of a calibration must be 0 or more and finite" CHECK (rms_px >= 0 AND rms_px < 1e6),
  reach REAL NOT NULL
    CONSTRAINT "the reach of a calibration must be from 0 to 1" CHECK (reach BETWEEN 0 AND 1),
  date TEXT NOT NULL
    CONSTRAINT "the date of a calibration must be a day of the calendar, written like 2026-04-12"
    CHECK (date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]' AND date(date, '+0 days') IS date),
  note TEXT NOT NULL,
  CONSTRAINT "a camera profile needs a focal length from EXIF"
    CHECK (focal_mm IS NOT NULL OR focal_35mm_mm IS NOT NULL)
) STRICT;
INSERT INTO camera_profile VALUES(1,'Invented One',4.2999999999999998223,26.0,1.0,3264,2448,2600.0,0.0005000000000000000104,0.080000000000000001665,0.0040000000000000000832,-0.059999999999999997779,0.0060000000000000001249,-0.9000000000000000222,1633.0,1221.0,2.5,10,0.20999999999999999222,0.93000000000000004884,'2026-04-10','');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('opening',5);
INSERT INTO sqlite_sequence VALUES('survey',2);
INSERT INTO sqlite_sequence VALUES('fitting',1);
INSERT INTO sqlite_sequence VALUES('observation',1);
INSERT INTO sqlite_sequence VALUES('journal',7);
INSERT INTO sqlite_sequence VALUES('photo',1);
INSERT INTO sqlite_sequence VALUES('photo_use',2);
INSERT INTO sqlite_sequence VALUES('measurement',4);
INSERT INTO sqlite_sequence VALUES('run',1);
INSERT INTO sqlite_sequence VALUES('yard_table',1);
INSERT INTO sqlite_sequence VALUES('camera_profile',1);
CREATE INDEX observation_of_survey ON observation (survey_id);
CREATE TRIGGER photo_is_not_changed BEFORE UPDATE ON photo
BEGIN SELECT RAISE(ABORT, 'the record of an original is never changed'); END;
CREATE TRIGGER photo_is_not_removed BEFORE DELETE ON photo
BEGIN SELECT RAISE(ABORT, 'an original, once kept, stays'); END;
CREATE UNIQUE INDEX photo_use_unfiled_once ON photo_use (photo_id, survey_id) WHERE opening_id IS NULL;
CREATE INDEX photo_use_of_survey ON photo_use (survey_id);
CREATE INDEX photo_use_of_opening ON photo_use (opening_id);
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
CREATE TRIGGER budget_term_is_not_edited BEFORE UPDATE ON budget_term
BEGIN SELECT RAISE(ABORT, 'a measurement is corrected by a new one, never edited'); END;
CREATE INDEX journal_by_state ON journal (state, id);
CREATE INDEX run_of_opening ON run (opening_id);
CREATE INDEX run_by_host ON run (joins_run_id);
CREATE TRIGGER camera_profile_is_not_edited BEFORE UPDATE ON camera_profile
BEGIN SELECT RAISE(ABORT, 'a lens is calibrated again, its profile never edited'); END;
COMMIT;
