#include <fmt/format.h>

#include "report/sections.hpp"

namespace spile::report {

void method(Flow& flow, const SurveyReport& data) {
  flow.new_page();
  flow.heading(1, "How it was measured, and how well", "method");
  const auto say = [&](const std::string& text) {
    flow.paragraph(text, kBody);
    flow.gap(1.8);
  };
  say("Photos. Each photo that was measured shows, beside the opening, something of known size lying flat on "
      "the hull: the "
      "printed card with its four markers, a steel rule, a disc. Its outline is found to a fraction of a "
      "pixel and gives the "
      "plane of the hull as the camera saw it, tilt and all. The rim of the hole, the flange or the layers "
      "of the cut edge are "
      "then found along many lines across them, in linear light, and fitted in that plane. A photo without "
      "anything of known "
      "size is refused, with the reason; nothing is guessed from it.");
  say("Diameter means the mean of the largest and the smallest diameter of the intact rim on the side that "
      "was photographed; "
      "chips are left out and given apart. Thickness from a photo of a hole is that between its near and its "
      "far rim.");
  say("Intervals. Every value stands with an interval that holds the true value in 95 cases of 100, by the "
      "law of propagation "
      "of uncertainty (JCGM 100:2008). For photos it takes in how well the reference was found, how the "
      "printer scaled it, how "
      "high it lay off the hull, the lens, the blur and the noise of the edge. For typed values it is the "
      "instrument's own: "
      "caliper, ultrasonic gauge, steel rule, tape. The intervals of photo values have been checked against "
      "drawn scenes of "
      "known size, not against a calibrated standard: where a decision hangs on one, put a caliper to it.");
  say("Limits are judged with a guard band (ILAC-G8:09/2019): met when the whole interval meets the limit, "
      "not met when none of "
      "it does, and otherwise too close to tell. Too close below the waterline counts as not met.");
  say("A change since an earlier survey is called real only when it is larger than the two intervals "
      "together.");
  if (data.yard_rows.empty()) {
    say("Rules and figures are those that come with the program; each verdict names their source.");
  } else {
    std::string rows;
    for (const auto& row : data.yard_rows) rows += (rows.empty() ? "" : "; ") + row;
    say(fmt::format(
        "Rules and figures are those that come with the program, but for rows of this yard's own: {}. "
        "Verdicts that went by them name them as the yard's own.",
        rows));
  }
  say(fmt::format(
      "Measured by {}. Logbook: {}. Values marked “corrected by hand” were placed or moved by a person.",
      data.engine.empty() ? "hand" : data.engine, data.logbook.empty() ? "not named" : data.logbook));
}

void cautions(Flow& flow) {
  flow.heading(1, "Cautions and limits", "cautions");
  for (const char* text :
       {"Water. A fitting, valve or hose that lets go below the waterline can sink her in minutes. Do not "
        "remove, tighten or "
        "strain one afloat. After work, launch slowly, look at every opening while the slings still hold "
        "her, and again after "
        "an hour and a day.",
        "Dust and resin. Grinding laminate throws glass and antifouling dust: wear a P100 mask, goggles and "
        "gloves, draw the "
        "dust off and keep others away. Resins, hardeners and solvents harm skin and lungs and burn.",
        "Electricity and gas. Shut off shore power and batteries before working in a wet bilge; keep sparks "
        "away from gas and "
        "petrol lockers and their drains.",
        "What this report cannot see. Cracks inside a fitting, wet or parted laminate, dezincified metal "
        "under a sound skin and "
        "threads inside a nut show themselves to a hammer, a meter or a saw, not to a camera. What was not "
        "looked at is named; "
        "it is not thereby in order.",
        "Who decides. Local codes and licensing rules, the class or insurer's terms, the builder's and the "
        "makers' "
        "instructions and the judgement of a licensed surveyor or yard come before anything said here."}) {
    flow.item("–", text, kBody);
  }
  flow.gap(3);
}

}  // namespace spile::report
