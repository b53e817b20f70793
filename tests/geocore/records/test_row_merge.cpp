#include "geocore/records/row_merge.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

using Outcome = RowMerge::Outcome;

RowVersion version(const char* changed_at, FieldValues cells)
{
    return {changed_at, std::move(cells)};
}
FieldValue words(const char* text) { return std::string{text}; }
FieldValue number(std::int64_t n) { return n; }

/// Ours and theirs, both after the same row of the first of August.
struct Pair {
    RowVersion was = version("2026-08-01", {{"note", words("old")}, {"taxon", words("VMAC")}});
    RowVersion ours = was;
    RowVersion theirs = was;
    std::vector<RowVersion> our_past{was};
    std::vector<RowVersion> their_past{was};
    MergeRule rule = MergeRule::Newer;
    std::string shared_until;
    std::string closing;
    std::vector<std::string> fixed;

    [[nodiscard]] RowMerge merged() const
    {
        RowCase row;
        row.ours = ours;
        row.theirs = theirs;
        row.our_past = our_past;
        row.their_past = their_past;
        row.rule = rule;
        row.shared_until = shared_until;
        row.closing = closing;
        row.fixed = fixed;
        return merge_versions(row);
    }
};

}  // namespace

TEST_CASE("RowMerge, TakesWhatOnlyOneSideChanged")
{
    Pair pair;
    pair.theirs = version("2026-08-03", {{"note", words("new")}, {"taxon", words("VMAC")}});
    pair.our_past.clear();  // ours is still the row of old
    auto merged = pair.merged();
    CHECK(merged.outcome == Outcome::Theirs);
    CHECK(merged.conflicts.empty());

    std::swap(pair.ours, pair.theirs);
    std::swap(pair.our_past, pair.their_past);
    merged = pair.merged();
    CHECK(merged.outcome == Outcome::Ours);
    CHECK(merged.conflicts.empty());
}

TEST_CASE("RowMerge, AnEarlierEditOfTheSameRowIsNotLostToALaterOne")
{
    Pair pair;
    pair.ours = version("2026-08-02", {{"note", words("old")}, {"taxon", words("VGER")}});
    pair.theirs = version("2026-08-03", {{"note", words("new")}, {"taxon", words("VMAC")}});
    const auto merged = pair.merged();
    CHECK(merged.outcome == Outcome::Mixed);
    CHECK(merged.cells == FieldValues{{"note", words("new")}, {"taxon", words("VGER")}});
    CHECK(merged.conflicts.empty());
}

TEST_CASE("RowMerge, AFieldThatBothChangedIsDecidedByTheRuleAndListed")
{
    Pair pair;
    pair.ours = version("2026-08-02", {{"note", words("ours")}, {"taxon", words("VMAC")}});
    pair.theirs = version("2026-08-03", {{"note", words("theirs")}, {"taxon", words("VMAC")}});
    auto merged = pair.merged();
    CHECK(merged.outcome == Outcome::Theirs);
    REQUIRE(merged.conflicts.size() == 1);
    CHECK(merged.conflicts[0].column == "note");
    CHECK(merged.conflicts[0].theirs_stands);
    CHECK(merged.conflicts[0].grounds == Grounds::Newer);

    pair.rule = MergeRule::Ours;
    merged = pair.merged();
    CHECK(merged.outcome == Outcome::Ours);
    REQUIRE(merged.conflicts.size() == 1);
    CHECK_FALSE(merged.conflicts[0].theirs_stands);
    CHECK(merged.conflicts[0].grounds == Grounds::Rule);
}

TEST_CASE("RowMerge, WithTheRuleNewerItDoesNotMatterWhichBookIsOurs")
{
    for (const char* later : {"2026-08-03", "2026-08-02"}) {
        Pair pair;
        pair.ours = version("2026-08-02", {{"note", words("a")}, {"taxon", words("VGER")}});
        pair.theirs = version(later, {{"note", words("b")}, {"taxon", FieldValue{}}});
        const auto here = pair.merged();
        std::swap(pair.ours, pair.theirs);
        std::swap(pair.our_past, pair.their_past);
        CHECK(pair.merged().cells == here.cells);
    }
}

TEST_CASE("RowMerge, WithoutACommonPastTheInstantUntilWhichTheBooksWereOneDecides")
{
    Pair pair;
    pair.our_past.clear();
    pair.their_past.clear();
    pair.ours = version("2026-08-01", {{"note", words("a")}, {"taxon", words("VMAC")}});
    pair.theirs = version("2026-08-04", {{"note", words("b")}, {"taxon", FieldValue{}}});
    pair.shared_until = "2026-08-02";
    auto merged = pair.merged();
    CHECK(merged.outcome == Outcome::Theirs);  // with the field that was emptied on purpose
    CHECK(merged.conflicts.empty());

    pair.shared_until = "2026-07-01";  // both were written since
    merged = pair.merged();
    CHECK(merged.cells == FieldValues{{"note", words("b")}, {"taxon", words("VMAC")}});
    REQUIRE(merged.conflicts.size() == 1);
    CHECK(merged.conflicts[0].column == "note");
}

TEST_CASE("RowMerge, WhatSaysMoreStandsWhereNobodyKnowsWhatStoodBefore")
{
    const auto stands = [](const char* column, FieldValue ours, FieldValue theirs) {
        Pair pair;
        pair.our_past.clear();
        pair.their_past.clear();
        pair.ours = version("2026-08-04", {{column, std::move(ours)}});
        pair.theirs = version("2026-08-02", {{column, std::move(theirs)}});
        return pair.merged();
    };
    CHECK(stands("state", words("waiting"), words("taken")).cells.at("state") == words("taken"));
    CHECK(stands("ladder", words("unknown"), words("refused")).cells.at("ladder") ==
          words("refused"));
    CHECK(stands("decision", words("open"), words("same")).cells.at("decision") == words("same"));
    // A caution that one of the two knew of.
    CHECK(stands("insecticide", number(0), number(1)).cells.at("insecticide") == number(1));
    CHECK(stands("allergic", number(1), number(0)).cells.at("allergic") == number(1));
    // A plain number is none.
    CHECK(stands("people", number(0), number(1)).cells.at("people") == number(0));
    CHECK(stands("state", words("waiting"), words("taken")).conflicts.empty());
}

TEST_CASE("RowMerge, ACautionTakenBackByOneSideOnlyIsTakenBack")
{
    Pair pair;
    pair.was = version("2026-08-01", {{"allergic", number(1)}});
    pair.our_past = pair.their_past = {pair.was};
    pair.ours = version("2026-08-02", {{"allergic", number(0)}});
    pair.theirs = pair.was;
    pair.their_past.clear();
    CHECK(pair.merged().cells.at("allergic") == number(0));
}

TEST_CASE("RowMerge, WhatIsClosedStandsWhole")
{
    Pair pair;
    pair.closing = "sealed_at";
    pair.was = version("2026-08-01", {{"mass_g", FieldValue{}}, {"sealed_at", FieldValue{}}});
    pair.our_past = pair.their_past = {pair.was};
    pair.ours = version("2026-08-02", {{"mass_g", 40.0}, {"sealed_at", words("2026-08-02")}});
    pair.theirs = version("2026-08-05", {{"mass_g", 41.5}, {"sealed_at", FieldValue{}}});
    auto merged = pair.merged();
    CHECK(merged.outcome == Outcome::Ours);
    REQUIRE(merged.conflicts.size() == 1);
    CHECK(merged.conflicts[0].column == "mass_g");
    CHECK(merged.conflicts[0].grounds == Grounds::Sealed);

    pair.theirs = version("2026-08-03", {{"mass_g", 41.5}, {"sealed_at", words("2026-08-01")}});
    merged = pair.merged();
    CHECK(merged.outcome == Outcome::Ours);  // closed in both: each keeps its own
    CHECK(merged.conflicts.size() == 2);
    pair.ours.cells["sealed_at"] = FieldValue{};
    CHECK(pair.merged().outcome == Outcome::Theirs);
}

TEST_CASE("RowMerge, WhatSomethingSealedRestsOnStaysOurs")
{
    Pair pair;
    pair.fixed = {"taxon"};
    pair.ours.changed_at = "2026-08-01";
    pair.our_past.clear();
    pair.theirs = version("2026-08-03", {{"note", words("new")}, {"taxon", words("VGER")}});
    const auto merged = pair.merged();
    CHECK(merged.cells == FieldValues{{"note", words("new")}, {"taxon", words("VMAC")}});
    REQUIRE(merged.conflicts.size() == 1);
    CHECK(merged.conflicts[0].grounds == Grounds::Sealed);
}

TEST_CASE("RowMerge, AColumnThatAPastVersionLacksIsNotCompared")
{
    Pair pair;
    pair.our_past = {version("2026-08-01", {{"note", words("old")}})};
    pair.ours = version("2026-08-02", {{"note", words("old")}, {"colour", words("red")}});
    pair.theirs = version("2026-08-01", {{"note", words("old")}, {"colour", FieldValue{}}});
    CHECK(pair.merged().outcome == Outcome::Ours);
}

TEST_CASE("RowMerge, ReadsValuesAsSqliteQuotesThem")
{
    const FieldValues cells{{"a", FieldValue{}},
                            {"b", number(-12)},
                            {"c", 1.5},
                            {"d", words("it's a 'nest' x 'y'")},
                            {"e", Blob{std::string{"\x00\xff", 2}}},
                            {"f", 1e300},
                            {"g", words("")},
                            {"h", words("two\nlines")}};
    std::string text;
    for (const auto& [name, value] : cells) {
        text += (text.empty() ? "" : " ") + name + " " + literal(value);
        CHECK(field_value_of(literal(value)) == value);
    }
    CHECK(values_of(text) == cells);
    CHECK(literal(9.0) == "9.0");
    CHECK(field_value_of("9.0") == FieldValue{9.0});
    for (const char* spoilt : {"a", "a 'x", "a X'0", "a X'0g'", "a 1 b", "a 12x", " a 1",
                               "a 1  b 2", "a inf", "a nan", "a ''x"}) {
        INFO(spoilt);
        CHECK_FALSE(values_of(spoilt).has_value());
    }
}
