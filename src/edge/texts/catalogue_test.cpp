#include "edge/texts/catalogue.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace strandbook {
namespace {

Catalogue made_of(std::string_view json) {
  Result<Catalogue> catalogue = Catalogue::parse({{json, "test.json"}});
  EXPECT_TRUE(catalogue);
  return std::move(*catalogue);
}

TEST(Catalogue, PutsPartsInTheirOrder) {
  const Catalogue texts =
      made_of(R"({"{} nm is read as {} nm on {}": "{0} nm wird auf {2} als {1} nm gelesen"})");
  EXPECT_EQ(texts.translated("1300 nm is read as 1310 nm on single-mode"),
            "1300 nm wird auf single-mode als 1310 nm gelesen");
}

TEST(Catalogue, TranslatesWhatWasPutIn) {
  const Catalogue texts = made_of(R"({"no {} in {}": "{0} fehlt in {1}", "the length": "die Länge"})");
  EXPECT_EQ(texts.translated("no the length in X"), "die Länge fehlt in X");
}

TEST(Catalogue, NumbersOfOursGetACommaButNotCellsAndNames) {
  const Catalogue texts = made_of(R"({"loss {} dB": "Dämpfung {0} dB", "cell \"{}\"": "Zelle „{0}“",
                                      "edition {}": "Ausgabe {0!}", "found {}": "gefunden {0=}"})");
  EXPECT_EQ(texts.translated("loss -0.75 dB"), "Dämpfung -0,75 dB");
  EXPECT_EQ(texts.translated("cell \"0.75\""), "Zelle „0.75“");
  EXPECT_EQ(texts.translated("edition 2.1"), "Ausgabe 2.1");
  EXPECT_EQ(texts.translated("found 0.75"), "gefunden 0.75");
  EXPECT_EQ(texts.translated("0.75"), "0.75");
  EXPECT_EQ(texts.figure("0.75"), "0,75");
  EXPECT_EQ(texts.figure("0.5, 1310, 1.5"), "0,5, 1310, 1,5");
  EXPECT_EQ(texts.figure("1.2.3"), "1.2.3");
}

TEST(Catalogue, TheWeightierTemplateFits) {
  const Catalogue texts =
      made_of(R"({"{} at {} nm": "{0} bei {1} nm", "no light at {} nm": "dunkel bei {0} nm"})");
  EXPECT_EQ(texts.translated("no light at 850 nm"), "dunkel bei 850 nm");
  EXPECT_EQ(texts.translated("loss at 850 nm"), "loss bei 850 nm");
}

TEST(Catalogue, SentencesOneAfterTheOther) {
  const Catalogue texts =
      made_of(R"({"Nothing was written.": "Nichts wurde geschrieben.", "Name {}.": "{0} nennen."})");
  EXPECT_EQ(texts.translated("Name it. Nothing was written."), "it nennen. Nichts wurde geschrieben.");
  EXPECT_EQ(texts.translated("Unknown words. Nothing was written."),
            "Unknown words. Nichts wurde geschrieben.");
}

TEST(Catalogue, AnEntryWithAPlaceTooManyIsRefused) {
  const Result<Catalogue> catalogue = Catalogue::parse({{R"({"no {}": "kein {1}"})", "de.json"}});
  ASSERT_FALSE(catalogue);
  EXPECT_EQ(catalogue.problem().at.file, "de.json");
  EXPECT_EQ(catalogue.problem().found, "\"no {}\"");
}

TEST(German, AProblemOnOneLine) {
  const Problem problem{{"plan.csv", "Hall", 7, "Length"},
                        "12,5,0",
                        "a length in m, km or ft, such as 1200 or 328 ft",
                        "check number and unit"};
  EXPECT_EQ(german_catalogue().translated(describe(problem)),
            "plan.csv, Blatt Hall, Zeile 7, Spalte Length: gefunden: 12,5,0; erwartet: eine Länge in m, km "
            "oder ft, "
            "etwa 1200 oder 328 ft. Zahl und Einheit prüfen");
}

TEST(German, ACellOfAFileStaysAsItWasWritten) {
  const Problem problem{{"r.csv", {}, 2, {}}, "0.75", "a number of dB, 0 or more", ""};
  EXPECT_EQ(german_catalogue().translated(describe(problem)),
            "r.csv, Zeile 2: gefunden: 0.75; erwartet: eine Zahl in dB, 0 oder mehr.");
}

TEST(German, NamesAreNoSentences) {
  EXPECT_EQ(german_catalogue().cell("link"), "link");
  EXPECT_EQ(german_catalogue().cell("Rack 4 to Rack 7"), "Rack 4 to Rack 7");
  EXPECT_EQ(german_catalogue().cell("no such file"), "keine solche Datei");
}

TEST(German, ALineOfTheHistory) {
  EXPECT_EQ(german_catalogue().translated("reading: loss 0.42 dB, 1310 nm, AB, reference R1 (r.csv, row 3)"),
            "Messwert: Dämpfung 0,42 dB, 1310 nm, AB, Referenz R1 (r.csv, Zeile 3)");
  EXPECT_EQ(german_catalogue().translated("note: no light here, said the crew"),
            "Notiz: no light here, said the crew");
}

RC_GTEST_PROP(German, NoTextIsTooOddToBeTranslated, (const std::string& text)) {
  RC_ASSERT(german_catalogue().translated(text).size() + 1 > 0);
}

RC_GTEST_PROP(German, WhatHasNoWordsOfOursStays, ()) {
  const auto text = *rc::gen::container<std::string>(rc::gen::inRange('0', '9'));
  RC_ASSERT(german_catalogue().translated(text) == text);
}

}  // namespace
}  // namespace strandbook
