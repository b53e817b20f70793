#include "planner/sheets/taxa_text.hpp"

#include <nlohmann/json.hpp>
#include <sstream>

#include "planner/sheets/wasp_text.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Contains;
using Json = nlohmann::json;

namespace {

const nature::TaxaTable& table() { return nature::standard_taxa(); }

nature::WaspName named(const std::vector<nature::Seen>& seen)
{
    return value_or_throw(
        nature::name_wasp(table(), seen, {Longitude{-82}, Latitude{40}}, *parse_day("2026-08-10")));
}

}  // namespace

TEST_CASE("TaxaText, EveryFigureOfATaxonStandsOnceWithSourceAndMark")
{
    for (const auto& taxon : table().taxa()) {
        std::size_t shown = 0;
        for (const auto& section : sheets::taxa_sections(table(), taxon.code)) {
            CAPTURE(taxon.code, section.title);
            CHECK(section.title != "Other");  // a parameter without a heading
            for (const auto* row : section.figures) {
                shown += row->subject == taxon.code ? 1 : 0;
            }
        }
        CHECK(shown + 1 == table().own_rows(taxon.code).size());  // the group stands on top
        const auto text = sheets::taxa_text(table(), taxon.code, {});
        for (const auto* row : table().own_rows(taxon.code)) {
            if (row->source != "OWN") {
                CAPTURE(row->source);
                CHECK_THAT(text, Contains(std::string{
                                     table().citation(row->source.substr(0, row->source.find(' ')))}
                                              .substr(0, 20)));
            }
        }
    }
}

TEST_CASE("TaxaText, IsNeverWiderThanThePageAndCallsNothingSafe")
{
    for (const int width : {60, 100}) {
        sheets::TextOptions options;
        options.width = width;
        std::istringstream lines{sheets::taxa_text(table(), "VMAC", options)};
        std::string line;
        while (std::getline(lines, line)) {
            CHECK(sheets::columns(line) <= width);
            CHECK(line.find("is safe") == std::string::npos);
        }
    }
}

TEST_CASE("TaxaText, JsonHoldsTheSameFigures")
{
    const auto json = Json::parse(sheets::taxa_json(table(), "VMAC"));
    CHECK(json["taxon"]["name"] == "Vespula maculifrons");
    CHECK(json["takes_from"].size() == 4);
    std::size_t figures = 0;
    for (const auto& section : sheets::taxa_sections(table(), "VMAC")) {
        figures += section.figures.size();
    }
    CHECK(json["figures"].size() == figures);
    bool dated = false;
    for (const auto& one : json["figures"]) {
        CHECK_FALSE(one["sources"].empty());
        CHECK_FALSE(one["mark"].get<std::string>().empty());
        for (const auto& key : one["sources"]) {
            CHECK(json["sources"].contains(key.get<std::string>()));
        }
        if (one["parameter"] == "calendar.large_cells_earliest") {
            dated = one["typical"] == "08-18";
        }
    }
    CHECK(dated);
    CHECK(Json::parse(sheets::taxa_list_json(table()))["taxa"].size() == table().taxa().size());
    // A group has figures and no name.
    CHECK(Json::parse(sheets::taxa_json(table(), "Vespula"))["taxon"].is_null());
}

TEST_CASE("WaspText, SaysThatTheWaspsSettleTheName")
{
    const sheets::WaspHead head{"mill", *parse_day("2026-08-10"), {}};
    const auto nest = sheets::wasp_text(named({{"site", "aerial"}}), head, table(), {});
    CHECK_THAT(nest, Contains("the marks of the workers settle the name"));
    CHECK_THAT(nest, Contains("Look next"));
    const auto wasps = sheets::wasp_text(
        named({{"site", "aerial"}, {"colour", "white_black"}, {"body_length", "middle"}}), head,
        table(), {});
    CHECK_THAT(wasps, Contains("Probably Dolichovespula maculata"));
    CHECK_THAT(wasps, Contains("VCON") && Contains("Taken for"));
    CHECK_THAT(wasps, !Contains("100 %"));
    const auto odd =
        sheets::wasp_text(named({{"comb", "stalk"}, {"colour", "white_black"}}), head, table(), {});
    CHECK_THAT(odd, Contains("fits no wasp of the table: comb and colour") ||
                        Contains("fits no wasp of the table: colour and comb"));
    CHECK_THAT(odd, !Contains("Probably"));
}

TEST_CASE("WaspText, JsonHoldsTheSameChances")
{
    const auto name = named({{"site", "ground"}});
    const auto json = Json::parse(sheets::wasp_json(name, {"mill", *parse_day("2026-08-10"), {}}));
    CHECK(json["seen"]["site"] == "ground");
    double sum = 0;
    for (std::size_t i = 0; i < name.taxa.size(); ++i) {
        CHECK(json["taxa"][i]["code"] == name.taxa[i].taxon->code);
        sum += json["taxa"][i]["chance"].get<double>();
    }
    CHECK(sum == Approx(1));
    CHECK(json["look_next"][0]["bits"] == name.looks.front().bits);
    const auto traits = nature::naming_traits(table());
    CHECK(Json::parse(sheets::traits_json(traits))["traits"].size() == traits.size());
    CHECK_THAT(sheets::traits_text(traits, {}), Contains("--eye-loop") && Contains("gray"));
}
