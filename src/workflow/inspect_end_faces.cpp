#include "workflow/inspect_end_faces.hpp"

#include <algorithm>

#include "edge/exchange/array_tables.hpp"
#include "edge/exchange/end_face_file.hpp"
#include "edge/exchange/inspection_table.hpp"
#include "edge/exchange/practice_file.hpp"
#include "workflow/know_light.hpp"
#include "workflow/know_rules.hpp"

namespace strandbook {
namespace {

Result<ReadRows<MeasuredArray>> losses_in(const std::string& path) {
  if (path.empty()) return ReadRows<MeasuredArray>{};
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  return read_measured_arrays(*sheets);
}

Result<ReadRows<InspectedFace>> faces_in(const std::string& path) {
  const Result<std::vector<Grid>> sheets = read_grids(path);
  if (!sheets) return sheets.problem();
  return read_inspections(*sheets);
}

void keep(std::vector<Problem>& unread, std::vector<ImportNote>& notes, Leftovers& left) {
  std::move(unread.begin(), unread.end(), std::back_inserter(left.unread));
  std::move(notes.begin(), notes.end(), std::back_inserter(left.notes));
}

}  // namespace

Result<InspectionWork> inspect_end_faces(const std::string& inspections, const std::string& losses,
                                         const InspectionQuestion& question) {
  const Result<std::string> folder = find_rules_folder();
  if (!folder) return folder.problem();
  const auto limits = read_end_face_limits(*folder + "/iec-61300-3-35-2015/end-face.json");
  if (!limits) return limits.problem();
  const Result<Practice> practice = read_practice(*folder + "/practice");
  if (!practice) return practice.problem();
  const Result<KnownLight> light = know_light();
  if (!light) return light.problem();
  Result<ReadRows<InspectedFace>> faces = faces_in(inspections);
  if (!faces) return faces.problem();
  Result<ReadRows<MeasuredArray>> measured = losses_in(losses);
  if (!measured) return measured.problem();
  InspectionWork work;
  work.rings = limits->rings;
  work.cautions = light->hazards.cautions;
  keep(faces->unread, faces->notes, work.left);
  keep(measured->unread, measured->notes, work.left);
  const EndFaceSettings settings{question.kind, question.own, question.loss_limit, practice->gain_allowance};
  work.links =
      judge_ends(std::move(faces->rows), losses.empty() ? nullptr : &measured->rows, *limits, settings);
  return work;
}

bool all_hold(const InspectionWork& work) {
  return !work.links.empty() && work.left.unread.empty() &&
         std::all_of(work.links.begin(), work.links.end(),
                     [](const JudgedEnds& each) { return each.outcome == Outcome::pass; });
}

}  // namespace strandbook
