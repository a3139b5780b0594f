-- Runs of hose and parts, and what the craft holds and pumps. Figures stand as they were typed, also where they cannot be:
-- what is wrong with them is said when a run is judged.

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
CREATE INDEX run_of_opening ON run (opening_id);
CREATE INDEX run_by_host ON run (joins_run_id);

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
