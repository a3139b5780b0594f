-- Version 3: what the rules on size, room, bedding, condition and removal read. NULL means "not known", as before.

ALTER TABLE vessel ADD COLUMN trim_deg REAL
  CONSTRAINT "the trim of a vessel must be from 0 to 20 degrees" CHECK (trim_deg BETWEEN 0 AND 20);

ALTER TABLE opening ADD COLUMN hull_radius_mm REAL
  CONSTRAINT "the radius of the hull must be more than 0 and at most 1 km"
  CHECK (hull_radius_mm > 0 AND hull_radius_mm <= 1000000);
ALTER TABLE opening ADD COLUMN frame_mm REAL
  CONSTRAINT "the distance to a frame must be more than 0 and at most 20 m"
  CHECK (frame_mm > 0 AND frame_mm <= 20000);
ALTER TABLE opening ADD COLUMN clear_depth_mm REAL
  CONSTRAINT "the clear room inwards must be more than 0 and at most 20 m"
  CHECK (clear_depth_mm > 0 AND clear_depth_mm <= 20000);
ALTER TABLE opening ADD COLUMN clear_width_mm REAL
  CONSTRAINT "the clear room across must be more than 0 and at most 20 m"
  CHECK (clear_width_mm > 0 AND clear_width_mm <= 20000);
ALTER TABLE opening ADD COLUMN reach TEXT NOT NULL DEFAULT 'unknown'
  CONSTRAINT "how an opening is reached must be one of the known ways"
  CHECK (reach IN ('unknown', 'readily', 'with-tools', 'by-dismantling'));
ALTER TABLE opening ADD COLUMN reach_s REAL
  CONSTRAINT "the time to reach an opening must be from 0 to a day" CHECK (reach_s BETWEEN 0 AND 86400);

ALTER TABLE fitting ADD COLUMN valve_thread TEXT
  CONSTRAINT "a valve's thread that is not known is left out, not empty" CHECK (valve_thread <> '');
ALTER TABLE fitting ADD COLUMN valve_material TEXT
  CONSTRAINT "a valve's material that is not known is left out, not empty" CHECK (valve_material <> '');
ALTER TABLE fitting ADD COLUMN tail_material TEXT
  CONSTRAINT "a tail's material that is not known is left out, not empty" CHECK (tail_material <> '');
ALTER TABLE fitting ADD COLUMN bedding TEXT
  CONSTRAINT "a bedding that is not known is left out, not empty" CHECK (bedding <> '');
ALTER TABLE fitting ADD COLUMN shank_mm REAL
  CONSTRAINT "the shank of a fitting must be more than 0 and at most 2 m" CHECK (shank_mm > 0 AND shank_mm <= 2000);
ALTER TABLE fitting ADD COLUMN thread_length_mm REAL
  CONSTRAINT "the thread of a fitting must be more than 0 and at most 2 m long"
  CHECK (thread_length_mm > 0 AND thread_length_mm <= 2000);
ALTER TABLE fitting ADD COLUMN nut_mm REAL
  CONSTRAINT "the nut of a fitting must be more than 0 and at most 1 m thick" CHECK (nut_mm > 0 AND nut_mm <= 1000);
ALTER TABLE fitting ADD COLUMN stack_mm REAL
  CONSTRAINT "the height of a fitting inside must be more than 0 and at most 5 m"
  CHECK (stack_mm > 0 AND stack_mm <= 5000);
ALTER TABLE fitting ADD COLUMN tail_mm REAL
  CONSTRAINT "the tail of a fitting must be more than 0 and at most 2 m long" CHECK (tail_mm > 0 AND tail_mm <= 2000);
ALTER TABLE fitting ADD COLUMN bore_mm REAL
  CONSTRAINT "the bore of a hose must be more than 0 and at most 1 m" CHECK (bore_mm > 0 AND bore_mm <= 1000);
ALTER TABLE fitting ADD COLUMN bend_mm REAL
  CONSTRAINT "the bend of a hose must be more than 0 and at most 5 m" CHECK (bend_mm > 0 AND bend_mm <= 5000);
ALTER TABLE fitting ADD COLUMN next_size TEXT NOT NULL DEFAULT '';
ALTER TABLE fitting ADD COLUMN next_material TEXT
  CONSTRAINT "the next fitting's material, where not known, is left out, not empty" CHECK (next_material <> '');
ALTER TABLE fitting ADD COLUMN next_shank_mm REAL
  CONSTRAINT "the shank of the next fitting must be more than 0 and at most 2 m"
  CHECK (next_shank_mm > 0 AND next_shank_mm <= 2000);
ALTER TABLE fitting ADD COLUMN next_flange_mm REAL
  CONSTRAINT "the flange of the next fitting must be more than 0 and at most 2 m"
  CHECK (next_flange_mm > 0 AND next_flange_mm <= 2000);
ALTER TABLE fitting ADD COLUMN next_thread_length_mm REAL
  CONSTRAINT "the thread of the next fitting must be more than 0 and at most 2 m long"
  CHECK (next_thread_length_mm > 0 AND next_thread_length_mm <= 2000);

-- The keys of the findings, one space between two.
ALTER TABLE observation ADD COLUMN findings TEXT NOT NULL DEFAULT ''
  CONSTRAINT "findings are words with one space between them"
  CHECK (findings = trim(findings) AND findings NOT GLOB '*[^-0-9a-z ]*' AND instr(findings, '  ') = 0);
ALTER TABLE observation ADD COLUMN clips REAL
  CONSTRAINT "the clips on a tail are counted from 0 to 9" CHECK (clips BETWEEN 0 AND 9 AND clips = round(clips));
ALTER TABLE observation ADD COLUMN plug TEXT NOT NULL DEFAULT 'unknown'
  CONSTRAINT "a plug is tied beside it, absent or not known" CHECK (plug IN ('unknown', 'none', 'tied'));
ALTER TABLE observation ADD COLUMN bonding_ohm REAL
  CONSTRAINT "a bonding resistance must be 0 or more and finite" CHECK (bonding_ohm >= 0 AND bonding_ohm < 1e9);

-- Rows of the yard's own, laid over the tables that come with the program: one CSV text per table, header included.
CREATE TABLE yard_table (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL
    CONSTRAINT "a table is laid over once" UNIQUE
    CONSTRAINT "a table of the yard needs the name of a table" CHECK (name GLOB '*?.csv'),
  csv TEXT NOT NULL
    CONSTRAINT "a table of the yard must hold rows" CHECK (trim(csv) <> '')
) STRICT;
