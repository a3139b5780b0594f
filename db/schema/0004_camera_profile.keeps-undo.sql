-- Version 4: calibrated lenses. See src/model/camera_profile.hpp for frames and units. What begins with u_ is a
-- standard uncertainty.

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
CREATE TRIGGER camera_profile_is_not_edited BEFORE UPDATE ON camera_profile
BEGIN SELECT RAISE(ABORT, 'a lens is calibrated again, its profile never edited'); END;
