#include "vision/circle_edges.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace spile::vision {
namespace {

cv::Mat shrunk(const cv::Mat& image, const cv::Size& size) {
  if (image.size() == size) return image;
  cv::Mat out;
  cv::resize(image, out, size, 0, 0, cv::INTER_AREA);
  return out;
}

struct Gradient {
  cv::Mat gx, gy, size;  // CV_16SC1; size is |gx| + |gy|
};

// Matrices used again and again: asking for fresh memory costs more than filling it.
struct Scratch {
  cv::Mat soft, gx, gy;
};

// Takes over a channel's gradient where it is stronger than what is held, counted more by so many 32nds.
void take_stronger(const cv::Mat& channel, int more_by, Scratch& scratch, Gradient& best) {
  cv::GaussianBlur(channel, scratch.soft, cv::Size(3, 3), 0.8);
  cv::Sobel(scratch.soft, scratch.gx, CV_16S, 1, 0);
  cv::Sobel(scratch.soft, scratch.gy, CV_16S, 0, 1);
  const int cols = channel.cols;
  for (int y = 0; y < channel.rows; ++y) {
    const auto *from_x = scratch.gx.ptr<std::int16_t>(y), *from_y = scratch.gy.ptr<std::int16_t>(y);
    auto *gx = best.gx.ptr<std::int16_t>(y), *gy = best.gy.ptr<std::int16_t>(y),
         *size = best.size.ptr<std::int16_t>(y);
#pragma GCC ivdep
    for (int x = 0; x < cols; ++x) {
      // All read before anything is chosen: only so is the loop taken several pixels at a time.
      const std::int16_t dx = from_x[x], dy = from_y[x], held_x = gx[x], held_y = gy[x], held = size[x];
      const auto own = static_cast<std::int16_t>(std::abs(dx) + std::abs(dy));
      const auto counted = static_cast<std::int16_t>(own + ((own * more_by) >> 5));
      gx[x] = counted > held ? dx : held_x;
      gy[x] = counted > held ? dy : held_y;
      size[x] = std::max(counted, held);
    }
  }
}

// At each pixel the channel that changes most; chroma counts a little more, its noise being smoother.
Gradient strongest(const Copy& copy) {
  constexpr int kChromaMoreBy = 13;
  const cv::Size size = copy.grey.size();
  Gradient best{cv::Mat::zeros(size, CV_16SC1), cv::Mat::zeros(size, CV_16SC1),
                cv::Mat::zeros(size, CV_16SC1)};
  Scratch scratch;
  take_stronger(copy.grey, 0, scratch, best);
  take_stronger(copy.cb, kChromaMoreBy, scratch, best);
  take_stronger(copy.cr, kChromaMoreBy, scratch, best);
  return best;
}

// The gradient above which no more than `share` of the pixels lie, but not less than `least`.
int threshold_for(const cv::Mat& size, double share, int least) {
  std::array<int, 512> histogram{};
  for (int y = 0; y < size.rows; y += 2) {
    const auto* row = size.ptr<std::int16_t>(y);
    for (int x = 0; x < size.cols; x += 2) ++histogram[static_cast<std::size_t>(std::min(row[x] / 4, 511))];
  }
  const double wanted = share * static_cast<double>(size.total()) / 4;
  double above = 0;
  int bin = 511;
  while (bin > 0 && above + histogram[static_cast<std::size_t>(bin)] < wanted)
    above += histogram[static_cast<std::size_t>(bin--)];
  return std::max(least, bin * 4);
}

// Thin edges: pixels that are largest along their gradient, in four directions.
std::vector<EdgePixel> thin_edges(const Gradient& g, const cv::Mat& hidden, int threshold) {
  std::vector<EdgePixel> out;
  for (int y = 1; y + 1 < g.size.rows; ++y) {
    const auto *up = g.size.ptr<std::int16_t>(y - 1), *here = g.size.ptr<std::int16_t>(y),
               *down = g.size.ptr<std::int16_t>(y + 1);
    const auto *gx = g.gx.ptr<std::int16_t>(y), *gy = g.gy.ptr<std::int16_t>(y);
    const auto* mask = hidden.ptr<std::uint8_t>(y);
    for (int x = 1; x + 1 < g.size.cols; ++x) {
      const int s = here[x];
      if (s < threshold || mask[x] != 0) continue;
      const int ax = std::abs(gx[x]), ay = std::abs(gy[x]);
      int a = 0, b = 0;
      if (2 * ay < ax) {
        a = here[x - 1];
        b = here[x + 1];
      } else if (2 * ax < ay) {
        a = up[x];
        b = down[x];
      } else if ((gx[x] > 0) == (gy[x] > 0)) {
        a = up[x - 1];
        b = down[x + 1];
      } else {
        a = up[x + 1];
        b = down[x - 1];
      }
      if (s > a && s >= b)
        out.push_back({static_cast<float>(x), static_cast<float>(y), static_cast<float>(gx[x]),
                       static_cast<float>(gy[x])});
    }
  }
  return out;
}

}  // namespace

Copy copy_of(const Picture::Pixels& pixels, int factor, const Copy& before) {
  const cv::Size size(std::max(8, pixels.grey.cols / factor), std::max(8, pixels.grey.rows / factor));
  Copy out{{}, {}, {}, static_cast<double>(factor), 0.5 * (factor - 1)};
  if (!before.grey.empty()) {
    out.grey = shrunk(before.grey, size);
    out.cb = shrunk(before.cb, size);
    out.cr = shrunk(before.cr, size);
    return out;
  }
  out.grey = shrunk(factor >= 4 ? pixels.quarter() : factor >= 2 ? pixels.half() : pixels.grey, size);
  if (factor >= 2) {
    out.cb = shrunk(pixels.cb, size);
    out.cr = shrunk(pixels.cr, size);
  } else {
    cv::resize(pixels.cb, out.cb, size, 0, 0, cv::INTER_LINEAR);
    cv::resize(pixels.cr, out.cr, size, 0, 0, cv::INTER_LINEAR);
  }
  return out;
}

std::vector<EdgePixel> edges_of(const Copy& copy, const cv::Mat& hidden) {
  const Gradient gradient = strongest(copy);
  return thin_edges(gradient, hidden, threshold_for(gradient.size, 0.16, 24));
}

}  // namespace spile::vision
