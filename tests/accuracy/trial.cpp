#include "trial.hpp"

#include <atomic>
#include <cmath>
#include <stdexcept>
#include <thread>

#include "scenes/photo.hpp"
#include "vision/measure.hpp"

namespace spile::accuracy {

namespace {

vision::ReferenceRequest reference_in(const scenes::Scene& scene) {
  if (scene.disc) return vision::DiscReference{scene.disc->diameter_mm, std::nullopt};
  if (scene.rule) return vision::RuleReference{};
  return vision::CardReference{};
}

const vision::Hole* hole_at(const vision::Report& report, const scenes::HoleTruth& truth, double reach_px) {
  for (const vision::Hole& hole : report.holes)
    if (std::hypot(hole.centre_px.x - truth.centre_px.x, hole.centre_px.y - truth.centre_px.y) < reach_px)
      return &hole;
  return nullptr;
}

Trial run(scenes::Kind kind, std::uint64_t number, const scenes::Priors& priors) {
  const scenes::Drawn drawn = scenes::draw(kind, number, priors);
  const scenes::Photo photo = scenes::take(drawn.scene, drawn.camera);
  const auto& truth = photo.truth.holes.at(0);
  Trial trial;
  trial.number = number;
  trial.tilt_deg = drawn.camera.tilt_deg;
  trial.blur_px = drawn.camera.blur_px;
  trial.radius_px = truth.diameter_mm / 2 / truth.mm_per_px;
  trial.true_mm = truth.diameter_mm;
  const auto picture = vision::Picture::decode(photo.jpeg, "scene " + std::to_string(number));
  if (!picture) throw std::runtime_error(picture.error().sentence());
  vision::Request request;
  request.subject = vision::Subject::Hole;
  request.reference = reference_in(drawn.scene);
  const vision::Report report = vision::measure(*picture, request);
  const vision::Hole* hole = hole_at(report, truth, 0.35 * trial.radius_px);
  if (report.refused) {
    trial.refused = report.refused->code;
  } else if (!hole) {
    trial.refused = "not found";
  } else {
    trial.mm = hole->diameter_mm;
    trial.u95_mm = hole->u95_mm;
    trial.budget = hole->budget;
  }
  return trial;
}

}  // namespace

std::vector<Trial> run_trials(scenes::Kind kind, std::uint64_t first, int count,
                              const scenes::Priors& priors) {
  std::vector<Trial> trials(static_cast<std::size_t>(count));
  std::atomic<int> next{0};
  const auto work = [&] {
    for (int i = next++; i < count; i = next++)
      trials[static_cast<std::size_t>(i)] = run(kind, first + static_cast<std::uint64_t>(i), priors);
  };
  std::vector<std::jthread> threads;
  for (unsigned i = 1; i < std::thread::hardware_concurrency(); ++i) threads.emplace_back(work);
  work();
  threads.clear();
  return trials;
}

}  // namespace spile::accuracy
