#pragma once
// A small job and statistics for the tests of predictions.

#include "domain/prediction/predicted_job.hpp"

namespace strandbook {

inline const RuleRef told{"test", "", "", Standing::own, ""};

inline ComponentStatistics test_parts() {
  ComponentStatistics parts;
  const auto grade = [](const char* name, double mean, double most) {
    return AttenuationGrade{name, FibreMode::single_mode, {{mean}, told}, {{most}, told}, {0.97, told}};
  };
  parts.grades.attenuation = {grade("B", 0.12, 0.25), grade("C", 0.25, 0.50), grade("D", 0.50, 1.0)};
  parts.single_mode_grade = {"C", told};
  parts.multimode_grade = {"Bm", told};
  parts.reference_plug_share = {0.5, told};
  parts.reference_joins = {grade("reference", 0.1, 0.2)};
  parts.splices = {{FibreMode::single_mode, {0.04}, {0.03}, told}};
  parts.attenuation = {{{FibreCategory::os2}, {1310}, {0.34}, {0.02}, {0.28}, told},
                       {{FibreCategory::os2}, {1550}, {0.20}, {0.015}, {0.15}, told}};
  parts.least_probability = {0.95, told};
  parts.times = {{15, told}, {1.5, told}, {0.25, told}, {15, told},
                 {4, told},  {8, told},   {6, told},    {2, told}};
  return parts;
}

inline UncertaintyModel test_uncertainty() {
  ContributionRow own;
  own.name = "mating";
  own.half_width = 0.1;
  own.coverage = 2;
  own.spread = Spread::normal;
  ContributionRow shared = own;
  shared.name = "cords";
  shared.half_width = 0.12;
  shared.shared = SharedBy::session;
  return {own, shared};
}

inline LinkDesign test_design(double nm = 1310) {
  LimitQuestion question;
  question.fibre = FibreCategory::os2;
  question.length = Metres{2000};
  question.connections = 4;
  question.splices = 2;
  question.wavelength = {nm};
  question.method = ReferenceMethod::one_cord;
  question.cords = CordGrade::reference_grade;
  return {question, nullptr, Decibels{2.0}};
}

}  // namespace strandbook
