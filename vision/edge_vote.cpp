#include "vision/edge_vote.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <random>

namespace spile::vision {
namespace {

constexpr double kClearStep = 30;  // coded values, from which on an edge has a full voice
// A whole curve of edge against none outweighs a misplacing of seven standard deviations.
constexpr double kEvidence = 25;
constexpr int kTrials = 500;
constexpr std::size_t kRefined = 16;

LikelyCurve weighed(const EdgeVote& vote, const Eigen::VectorXd& x) {
  std::vector<double> best(vote.normals, 0.0);
  for (const VotingEdge& e : vote.edges) {
    const double z = (e.place - e.row.dot(x)) / vote.on;
    if (std::abs(z) < 1) best[e.normal] = std::max(best[e.normal], e.voice * (1 - z * z));
  }
  double sum = 0;
  for (const double b : best) sum += b;
  LikelyCurve out{x, 0, vote.normals > 0 ? sum / static_cast<double>(vote.normals) : 0};
  const Eigen::VectorXd away = x - vote.start;
  out.log_weight = kEvidence * out.support - 0.5 * away.dot(vote.hold * away);
  return out;
}

// Least squares on the edges near the curve, held by the placing.
Eigen::VectorXd improved(const EdgeVote& vote, const Eigen::VectorXd& x) {
  const double u = 0.4 * vote.on;
  Eigen::MatrixXd m = vote.hold;
  Eigen::VectorXd v = vote.hold * (vote.start - x);
  for (const VotingEdge& e : vote.edges) {
    const double away = e.place - e.row.dot(x), z = away / (1.5 * vote.on);
    if (std::abs(z) >= 1) continue;
    const double weight = e.voice * (1 - z * z) * (1 - z * z) / (u * u);
    m += weight * e.row * e.row.transpose();
    v += weight * away * e.row;
  }
  return x + m.ldlt().solve(v);
}

// The curve through as many edges as tell it, its other unknowns as placed.
Eigen::VectorXd through(const EdgeVote& vote, const std::vector<const VotingEdge*>& some) {
  const Eigen::Index n = vote.free;
  Eigen::MatrixXd m(n, n);
  Eigen::VectorXd v(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const VotingEdge& e = *some[static_cast<std::size_t>(i)];
    m.row(i) = e.row.head(n);
    v[i] = e.place - e.row.dot(vote.start);
  }
  Eigen::VectorXd x = vote.start;
  x.head(n) += m.fullPivLu().solve(v);
  return x;
}

bool likelier(const LikelyCurve& a, const LikelyCurve& b) {
  return a.log_weight > b.log_weight;
}

}  // namespace

double voice_of(double contrast) {
  return std::min(1.0, std::abs(contrast) / kClearStep);
}

std::vector<LikelyCurve> likely_curves(const EdgeVote& vote) {
  std::vector<LikelyCurve> tried{weighed(vote, vote.start)};
  if (!vote.edges.empty()) {
    std::mt19937 random(577);
    std::uniform_int_distribution<std::size_t> pick(0, vote.edges.size() - 1);
    for (int trial = 0; trial < kTrials; ++trial) {
      std::vector<const VotingEdge*> some;
      for (Eigen::Index i = 0; i < vote.free; ++i) some.push_back(&vote.edges[pick(random)]);
      const Eigen::VectorXd x = through(vote, some);
      if (x.allFinite()) tried.push_back(weighed(vote, x));
    }
  }
  std::sort(tried.begin(), tried.end(), likelier);
  std::vector<LikelyCurve> out;
  for (std::size_t i = 0; i < std::min(kRefined, tried.size()); ++i) {
    LikelyCurve curve = tried[i];
    for (int round = 0; round < 5; ++round) curve = weighed(vote, improved(vote, curve.x));
    const bool known = std::any_of(out.begin(), out.end(), [&](const LikelyCurve& other) {
      return (other.x - curve.x).head(vote.free).norm() < 0.6 * vote.on;
    });
    if (!known) out.push_back(std::move(curve));
  }
  std::sort(out.begin(), out.end(), likelier);
  return out;
}

}  // namespace spile::vision
