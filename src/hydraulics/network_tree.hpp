// Inside of src/hydraulics: the balance of joined runs by Newton's method on their tree. The flows that
// sources bring are free, all others follow; what is lost is the slope of a convex function of them (Cherry
// and Millar 1951), so there is one answer and every step goes toward it. Plain numbers: L/min and mm.
#pragma once

#include <vector>

#include "hydraulics/network.hpp"

namespace spile::hydraulics {

// A leg's pipe as it is met in each direction. Into a tee the velocity goes on; into the sea or a fixture it
// is lost.
struct BothWays {
  BothWays(const Leg& leg, const Pipeline& pipe);
  [[nodiscard]] double lost(double flow) const;  // below zero when backwards

  Pipeline ahead, back;
  bool leaves_ahead = false, leaves_back = false;
};

class Tree {
 public:
  explicit Tree(const std::vector<Leg>& legs);

  [[nodiscard]] bool put_in_order();  // false where the legs go round; nothing else may be asked then
  [[nodiscard]] bool balance();       // false where it does not settle
  [[nodiscard]] std::vector<LegFlow> answer() const;

  void take(const std::vector<LegFlow>& solved);
  [[nodiscard]] double lost(std::size_t leg) const { return ways_[leg].lost(flow_[leg]); }
  // How the flow in `watched` changes, to first order, where `leg` costs `more` mm more.
  [[nodiscard]] double change(std::size_t watched, std::size_t leg, double more) const;

 private:
  using Each = std::vector<double>;  // of the legs

  [[nodiscard]] bool given(std::size_t leg) const;
  [[nodiscard]] double drive(std::size_t leg) const;
  [[nodiscard]] double cost(std::size_t leg, double flow) const;  // lost, less what its pump gives
  [[nodiscard]] double slope(std::size_t leg) const;
  [[nodiscard]] Each costs_at(const Each& flows) const;
  [[nodiscard]] Each surplus(const Each& costs) const;
  [[nodiscard]] Each step(const Each& costs) const;
  void start();
  [[nodiscard]] bool settle();
  [[nodiscard]] bool go(const Each& way, Each& costs, Each& over);
  [[nodiscard]] bool shut_what_runs_back();

  const std::vector<Leg>& legs_;
  std::vector<BothWays> ways_;
  std::vector<std::size_t> order_;  // leaves first
  std::vector<bool> shut_;
  Each flow_;
  double scale_ = 1;  // the largest head that drives
};

}  // namespace spile::hydraulics
