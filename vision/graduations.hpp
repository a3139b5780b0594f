// Reading a rule's graduations through a trial plane: how far each lies from where the plane puts it, and
// which of them are the long ones; for this folder only. Lengths are in the plane's unit.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/plane.hpp"

namespace spile::vision {

// The marks around one place compared with a cosine of the same pitch.
struct MarkReading {
  double shift = 0;      // how far along the rule the marks lie from whole multiples of the pitch
  double coherence = 0;  // share of the local brightness pattern that the cosine explains, 0..1
};

// Four pitches about (x, y); nothing outside the picture. `offset` is where a mark is expected: at
// offset + k * pitch.
[[nodiscard]] std::optional<MarkReading> read_marks(const cv::Mat& grey, const Plane& plane, double x,
                                                    double y, double pitch, double offset);

// What one step of the graduations is, told from which of them are long.
struct Graduation {
  double mm = 0;     // from mark to mark
  int longest = 0;   // index of one of the longest marks, 0 <= longest < marks from one such to the next
  double share = 0;  // of the variation from mark to mark that it explains, 0..1
  double lead = 0;   // by how much it explains more than the next best reading
};

// `first` and `last` are the indices of the marks seen, the edge lies at y = 0, the pitch is 1.
[[nodiscard]] std::optional<Graduation> graduation_of(const cv::Mat& grey, const Plane& plane, int first,
                                                      int last);

}  // namespace spile::vision
