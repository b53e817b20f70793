#include "geocore/nature/taxa_table.hpp"

#include <set>
#include <string>

#include "geocore/nature/season.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

const std::string kHeader =
    "subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark\n";
const std::string kSources = "key,citation\nS1,one\n";

}  // namespace

TEST_CASE("TaxaTable, HoldsTheTwelveTaxaAndThoseThatStandIn")
{
    std::set<std::string> codes;
    for (const auto& taxon : standard_taxa().taxa()) {
        codes.insert(taxon.code);
    }
    CHECK(codes == std::set<std::string>{"VMAC", "VGER", "VPEN", "VVUL", "VSQU", "VVID", "VCON",
                                         "DMAC", "DARE", "VCRA", "PFUS", "PDOM",
                                         // These lend figures to the others.
                                         "VACA", "VSUL", "DNOR", "DSAX", "VVEL", "PEXC", "PMET"});
}

TEST_CASE("TaxaTable, TakesFromTheGroupWhatATaxonLacks")
{
    const auto& table = standard_taxa();
    // V. consobrina: its own group's workers, the genus' brood days, everything's freezing loss.
    CHECK(table.figure("VCON", "workers.peak")->subject == "Vespula rufa group");
    CHECK(table.figure("VCON", "brood.egg")->subject == "Vespula");
    CHECK(table.figure("VCON", "freezing_loss")->subject == "all");
    CHECK(table.figure("VMAC", "workers.peak")->subject == "VMAC");
    CHECK(table.figure("VMAC", "no such thing") == nullptr);
    // D. arenaria has dates at three latitudes; only its own level counts.
    CHECK(table.rows("DARE", "calendar.large_cells").size() == 3);
}

TEST_CASE("TaxaTable, RecognisesCodesAndNames")
{
    const auto& table = standard_taxa();
    REQUIRE(table.recognise("dmac") != nullptr);
    CHECK(table.recognise("dmac")->code == "DMAC");
    CHECK(table.recognise("vespula maculifrons")->code == "VMAC");
    CHECK(table.recognise("European Hornet")->code == "VCRA");
    CHECK(table.recognise("") == nullptr);
    CHECK(table.recognise("Apis mellifera") == nullptr);
}

TEST_CASE("TaxaTable, EveryCitedSourceIsThereAndEverySourceIsCited")
{
    const auto& table = standard_taxa();
    std::set<std::string> cited;
    for (const auto& row : table.figures()) {
        std::string_view keys = row.source;
        while (!keys.empty()) {
            const auto space = keys.find(' ');
            cited.emplace(keys.substr(0, space));
            keys.remove_prefix(space == std::string_view::npos ? keys.size() : space + 1);
        }
    }
    for (const auto& source : table.sources()) {
        CAPTURE(source.key);
        CHECK(cited.count(source.key) == 1);
    }
    for (const auto& key : cited) {
        CAPTURE(key);
        CHECK_FALSE(table.citation(key).empty());
    }
}

TEST_CASE("TaxaTable, NamesWhoseSourceIsOursAreMarkedSo")
{
    for (const auto& row : standard_taxa().figures()) {
        CAPTURE(row.subject, row.parameter);
        if (row.source == "OWN") {
            CHECK(row.mark == Mark::Assumption);
        }
        if (row.source == "MEM") {
            CHECK(row.mark == Mark::Memory);
        }
        if (row.source == "PRAC") {
            CHECK(row.mark == Mark::Practice);
        }
    }
}

TEST_CASE("TaxaTable, RefusesATaxonThatHangsNowhere")
{
    CHECK_FALSE(parse_taxa(kHeader + "A,mass,,1,,,mg,,,S1,published\n", kSources));
    const std::string name = kHeader + "AAAA,name,,,,Aus bus,,,,S1,published\n";
    CHECK_FALSE(parse_taxa(name, kSources));
    const auto circle = parse_taxa(name +
                                       "AAAA,genus,,,,Aus,,,,S1,published\n"
                                       "AAAA,group,,,,Aus,,,,S1,published\n"
                                       "Aus,group,,,,AAAA,,,,S1,published\n",
                                   kSources);
    REQUIRE_FALSE(circle);
    CHECK(circle.error().message.find("AAAA") != std::string::npos);
    CHECK(parse_taxa(name + "AAAA,genus,,,,Aus,,,,S1,published\n"
                            "AAAA,group,,,,all,,,,S1,published\n",
                     kSources));
}

TEST_CASE("TaxaTable, ASpeciesIsAddedByRows")
{
    // Everything that the season needs, and nothing in code knows of it.
    const std::string rows =
        "XNEW,name,,,,Xus novus,,,,S1,assumption\n"
        "XNEW,genus,,,,Xus,,,,S1,assumption\n"
        "XNEW,group,,,,all,,,,S1,assumption\n"
        "XNEW,workers.peak,100,200,400,,wasps,,,S1,assumption\n"
        "XNEW,workers.first,4,5,6,,wasps,,,S1,assumption\n"
        "XNEW,mass.worker,90,100,110,,mg,,,S1,assumption\n"
        "XNEW,calendar.founding,04-20,05-01,05-10,,date,40,,S1,assumption\n"
        "XNEW,calendar.first_workers_after,28,30,32,,d,,,S1,assumption\n"
        "XNEW,calendar.large_cells,07-20,08-01,08-10,,date,40,,S1,assumption\n"
        "XNEW,calendar.sexuals_after,20,25,30,,d,,,S1,assumption\n"
        "XNEW,calendar.peak,08-10,08-20,08-30,,date,40,,S1,assumption\n"
        "XNEW,calendar.decline,09-10,09-20,09-30,,date,40,,S1,assumption\n"
        "XNEW,calendar.end,10-10,10-20,10-30,,date,40,,S1,assumption\n"
        "XNEW,calendar.latitude_shift,0,2,4,,d/deg,,,S1,assumption\n"
        "XNEW,calendar.year_shift,-7,0,7,,d,,,S1,assumption\n";
    const auto table = parse_taxa(kHeader + rows, kSources);
    REQUIRE(table);
    const Candidate one{table->find("XNEW"), 1};
    const auto season = Season::make(*table, std::span{&one, 1}, Latitude{40});
    const auto peak = season.on(233);  // 21 August
    CHECK(peak.workers.middle == Approx(200).margin(40));
    CHECK(peak.likeliest() == Stage::Reproductives);
}
