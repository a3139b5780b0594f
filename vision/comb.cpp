#include "vision/comb.hpp"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>

namespace spile::vision {
namespace {

using Vec = Eigen::Vector2d;

constexpr int kPadding = 8;              // zero padding of a window, for the place of the spectrum's peak
constexpr double kEvenEnough = 0.6;      // share of a window's variance in one line of its spectrum
constexpr double kShortestPeriod = 2.8;  // below that a mark has no pixel of its own
constexpr double kMarksInWindow = 7;

struct Line {
  Vec from, to;
};

// Straight edges of the picture at about a thousand pixels, where a phone's noise is averaged away.
std::vector<Line> straight_edges(const cv::Mat& grey, int factor, double at_least) {
  cv::Mat small;
  cv::resize(grey, small, cv::Size(grey.cols / factor, grey.rows / factor), 0, 0, cv::INTER_AREA);
  std::vector<cv::Vec4f> found;
  cv::createLineSegmentDetector(cv::LSD_REFINE_STD)->detect(small, found);
  std::vector<Line> out;
  const double shift = 0.5 * (factor - 1);
  for (const cv::Vec4f& v : found) {
    const Line line{factor * Vec(v[0], v[1]) + Vec(shift, shift),
                    factor * Vec(v[2], v[3]) + Vec(shift, shift)};
    if ((line.to - line.from).norm() >= at_least) out.push_back(line);
  }
  return out;
}

// Log brightness one pixel apart along a line, averaged over three parallel lines, less its running mean.
std::vector<float> strip(const cv::Mat& grey, const Vec& from, const Vec& along, const Vec& into,
                         double offset, int count, int running) {
  cv::Mat x(1, count, CV_32F), y(1, count, CV_32F), row, sum = cv::Mat::zeros(1, count, CV_32F);
  for (const double across : {-1.0, 0.0, 1.0}) {
    for (int i = 0; i < count; ++i) {
      const Vec p = from + i * along + (offset + across) * into;
      x.at<float>(i) = static_cast<float>(p.x());
      y.at<float>(i) = static_cast<float>(p.y());
    }
    cv::remap(grey, row, x, y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
    row.convertTo(row, CV_32F);
    sum += row;
  }
  cv::log(sum / 3 + 8, sum);
  cv::Mat mean;
  cv::blur(sum, mean, cv::Size(running, 1));
  sum -= mean;
  return {sum.begin<float>(), sum.end<float>()};
}

struct Peak {
  double period = 0, share = 0;
};

// The strongest line of a window's spectrum and the share of the variance it holds, its harmonics included.
Peak spectrum_peak(const std::vector<float>& values, std::size_t first, int window) {
  const int padded = cv::getOptimalDFTSize(window * kPadding);
  cv::Mat in = cv::Mat::zeros(1, padded, CV_32F), spectrum;
  for (int i = 0; i < window; ++i) {
    const double hann = 0.5 - 0.5 * std::cos(2 * M_PI * (i + 0.5) / window);
    in.at<float>(i) = values[first + static_cast<std::size_t>(i)] * static_cast<float>(hann);
  }
  cv::dft(in, spectrum, cv::DFT_COMPLEX_OUTPUT);
  const auto power = [&](int k) -> double { return std::norm(spectrum.at<std::complex<float>>(k)); };
  const int low = static_cast<int>(std::ceil(padded * kMarksInWindow / window));
  const int high = std::min(padded / 2 - 1, static_cast<int>(padded / kShortestPeriod));
  int best = low;
  for (int k = low; k <= high; ++k)
    if (power(k) > power(best)) best = k;
  const int lobe = 2 * padded / window;
  double all = 1e-12, near = 0;
  for (int k = padded / (2 * window); k < padded / 2; ++k) {
    all += power(k);
    for (int harmonic = 1; harmonic <= 3; ++harmonic)
      if (std::abs(k - harmonic * best) <= lobe) {
        near += power(k);
        break;
      }
  }
  return {static_cast<double>(padded) / best, best == low ? 0 : near / all};
}

struct Reading {
  double s = 0, period = 0, share = 0;
};

// Straight line through the periods against the way along; marks a projection spreads evenly enough.
std::optional<Comb> comb_from(const std::vector<Reading>& readings, const Line& line, const Vec& along,
                              const Vec& into, int window) {
  std::vector<double> periods;
  for (const Reading& r : readings) periods.push_back(r.period);
  if (periods.empty()) return std::nullopt;
  std::nth_element(periods.begin(), periods.begin() + static_cast<long>(periods.size() / 2), periods.end());
  const double middle = periods[periods.size() / 2];
  double n = 0, sum_s = 0, sum_p = 0, sum_ss = 0, sum_sp = 0, share = 0, first = 1e9, last = -1e9;
  for (const Reading& r : readings) {
    if (std::abs(r.period / middle - 1) > 0.25) continue;
    n += 1;
    sum_s += r.s;
    sum_p += r.period;
    sum_ss += r.s * r.s;
    sum_sp += r.s * r.period;
    share += r.share;
    first = std::min(first, r.s);
    last = std::max(last, r.s);
  }
  if (n < 1) return std::nullopt;
  Comb comb;
  comb.foot = line.from + (sum_s / n) * along;
  comb.along = along;
  comb.into = into;
  comb.length = last - first + window;
  comb.period = sum_p / n;
  const double spread = sum_ss - sum_s * sum_s / n;
  comb.period_slope = n >= 3 && spread > 0 ? (sum_sp - sum_s * sum_p / n) / spread : 0;
  comb.evenness = share / n;
  return comb;
}

std::optional<Comb> comb_beside(const cv::Mat& grey, Line line, int side, int factor) {
  // y is up in the plane, down in the picture: with x along and y into, into = (along.y, -along.x).
  if (side < 0) std::swap(line.from, line.to);
  const Vec along = (line.to - line.from).normalized();
  const Vec into(along.y(), -along.x());
  const int count = static_cast<int>((line.to - line.from).norm());
  std::optional<Comb> best;
  for (const int window : {64 * factor, 24 * factor}) {
    if (count < window) continue;
    for (const double offset : {2.0 * factor, 4.5 * factor}) {
      const auto values = strip(grey, line.from, along, into, offset, count, 20 * factor + 1);
      std::vector<Reading> readings;
      for (int i = 0; i + window <= count; i += window / 2) {
        const Peak peak = spectrum_peak(values, static_cast<std::size_t>(i), window);
        if (peak.share > kEvenEnough) readings.push_back({i + 0.5 * window, peak.period, peak.share});
      }
      const auto comb = comb_from(readings, line, along, into, window);
      if (comb && (!best || comb->length * comb->evenness > best->length * best->evenness)) best = comb;
    }
    if (best) break;
  }
  return best;
}

}  // namespace

std::vector<Comb> find_combs(const cv::Mat& grey, std::size_t at_most) {
  const int factor = std::max(1, static_cast<int>(std::lround(std::max(grey.cols, grey.rows) / 1000.0)));
  std::vector<Comb> out;
  // At half that size again the marks themselves no longer break the edge they stand on.
  for (const int reduced : {factor, 2 * factor}) {
    for (const Line& line : straight_edges(grey, reduced, 24.0 * factor)) {
      for (const int side : {1, -1})
        if (const auto comb = comb_beside(grey, line, side, factor)) out.push_back(*comb);
    }
  }
  std::sort(out.begin(), out.end(),
            [](const Comb& a, const Comb& b) { return a.length * a.evenness > b.length * b.evenness; });
  if (out.size() > at_most) out.resize(at_most);
  return out;
}

}  // namespace spile::vision
