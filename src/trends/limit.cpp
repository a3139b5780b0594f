#include "trends/limit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace spile::trends {

namespace {

constexpr int kLeastSeasons = 3;

LimitDate answer(Reach reach, std::string why) {
  LimitDate limit;
  limit.reach = reach;
  limit.why = std::move(why);
  return limit;
}

bool beyond(double value, double limit, Bad bad) {
  return bad == Bad::Above ? value >= limit : value <= limit;
}

struct Years {
  double from = 0, to = 0;
};

// E. C. Fieller's theorem for level and rate without correlation: the roots of
// (rate^2 - U_rate^2) x^2 + 2 rate gap x + gap^2 - U_level^2 = 0, x from the middle of the line.
// The rate is told from 0, so the first coefficient is above 0 and both roots are real.
Years crossing(const ValueTrend& trend, double limit) {
  const double gap = trend.line->level - limit, rate = trend.rate->per_year, u_rate = trend.rate->u95,
               u_level = trend.level_u95;
  const double a = rate * rate - u_rate * u_rate, b = rate * gap, c = gap * gap - u_level * u_level;
  const double root = std::sqrt(std::max(0.0, b * b - a * c));
  return {trend.line->middle + (-b - root) / a, trend.line->middle + (-b + root) / a};
}

}  // namespace

std::string_view key(Reach reach) {
  switch (reach) {
    case Reach::Passed:
      return "passed";
    case Reach::Expected:
      return "expected";
    case Reach::MovesAway:
      return "moves-away";
    case Reach::CannotSay:
      return "cannot-say";
  }
  return {};
}

LimitDate limit_date(const ValueTrend& trend, double limit, Bad bad) {
  if (!trend.line) return answer(Reach::CannotSay, "One season's values say nothing of the next.");
  const double last = units::years_between(trend.since(), trend.last());
  if (beyond(trend.line->at(last), limit, bad))
    return answer(Reach::Passed, "The line through the values is past the limit already.");
  if (trend.seasons < kLeastSeasons)
    return answer(Reach::CannotSay, "A line fits any two seasons: a third has to bear it out.");
  if (trend.change != Change::Changed || std::abs(trend.rate->per_year) <= trend.rate->u95)
    return answer(Reach::CannotSay, "The rate is not told from none.");
  if (!trend.steady)
    return answer(Reach::CannotSay, "The values do not follow a line, so it must not be drawn on.");
  if ((trend.rate->per_year > 0) != (bad == Bad::Above))
    return answer(Reach::MovesAway, "It moves away from the limit.");
  const double at = trend.line->middle + (limit - trend.line->level) / trend.rate->per_year;
  if (at - last > kHorizon * last)
    return answer(Reach::CannotSay,
                  fmt::format("The limit lies more than {:g} times the years observed ahead: too far to say.",
                              kHorizon));
  const Years years = crossing(trend, limit);
  LimitDate found = answer(Reach::Expected, "If it goes on as it did.");
  found.date = units::years_later(trend.since(), at);
  found.earliest = units::years_later(trend.since(), years.from);
  found.latest = units::years_later(trend.since(), years.to);
  return found;
}

}  // namespace spile::trends
