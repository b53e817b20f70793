// The archive against the standard's own list of terms and the rules of its text guide.
//
// Sources: tests/data/darwin_core/simple_terms.csv (TDWG, CC BY 4.0); Darwin Core text guide
// (TDWG, 2023-09-13). The four terms of MeasurementOrFact are not in the simple list; they are as
// the standard's list of classes has them.
#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

#include "plugin/share/darwin_core.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::share;
using nestround::test::Folder;
using nestround::testing::run_shell;

namespace {

const std::set<std::string>& standard_terms()
{
    static const auto terms = [] {
        std::ifstream file{std::string{NESTROUND_SOURCE_DIR} +
                           "/tests/data/darwin_core/simple_terms.csv"};
        REQUIRE(file.good());
        std::set<std::string> out{"measurementID", "measurementType", "measurementValue",
                                  "measurementUnit"};
        std::string line;
        std::getline(file, line);
        std::istringstream words{line};
        for (std::string word; std::getline(words, word, ',');) {
            out.insert(word);
        }
        return out;
    }();
    return terms;
}

Shared sample(app::PrivacyTier tier)
{
    std::vector<KnownNest> nests;
    for (int i = 0; i < 7; ++i) {
        KnownNest nest;
        nest.key = "key" + std::to_string(i);
        nest.taxon = i == 6 ? "" : "DMAC";
        nest.season = 2026;
        nest.kind = NestKind::Aerial;
        nest.site = "place" + std::to_string(i);
        nest.place = {Longitude{-77.0123456 + i * 1e-3}, Latitude{41.1234567}};
        nest.height = Metres{4.5};
        nest.received = *parse_day("2026-08-04");
        nest.caught = Grams{100};
        nests.push_back(nest);
    }
    app::PartnerSettings terms;
    terms.tier = tier;
    terms.at_least = 3;
    return withhold(nests, "museum", terms);
}

const Statement kStatement{"An <invented> county", "museum", "CC0", *parse_day("2026-08-04"),
                           "all"};

std::vector<std::vector<std::string>> table_of(const std::string& text)
{
    std::vector<std::vector<std::string>> rows;
    std::istringstream lines{text};
    for (std::string line; std::getline(lines, line);) {
        rows.emplace_back();
        line += '\t';
        std::size_t from = 0;
        for (auto tab = line.find('\t'); tab != std::string::npos; tab = line.find('\t', from)) {
            rows.back().push_back(line.substr(from, tab - from));
            from = tab + 1;
        }
    }
    return rows;
}

std::string file_of(const std::vector<std::pair<std::string, std::string>>& files,
                    const std::string& name)
{
    const auto found = std::find_if(files.begin(), files.end(),
                                    [&](const auto& file) { return file.first == name; });
    REQUIRE(found != files.end());
    return found->second;
}

}  // namespace

TEST_CASE("Published, EveryTermOfTheArchiveIsOneOfTheStandard")
{
    const auto& table = nature::standard_taxa();
    const auto files = darwin_core_files(sample(app::PrivacyTier::Exact), kStatement, table);
    const auto meta = file_of(files, "meta.xml");
    const std::string namespace_of_terms = "term=\"http://rs.tdwg.org/dwc/terms/";
    int terms = 0;
    for (auto at = meta.find(namespace_of_terms); at != std::string::npos;
         at = meta.find(namespace_of_terms, at + 1)) {
        const auto from = at + namespace_of_terms.size();
        const auto term = meta.substr(from, meta.find('"', from) - from);
        CAPTURE(term);
        CHECK(standard_terms().count(term) == 1);
        ++terms;
    }
    CHECK(terms == 24 + 5 + 4);
    // Dublin Core's own namespace for the one that Darwin Core borrows.
    CHECK(meta.find("term=\"http://purl.org/dc/terms/license\"") != std::string::npos);
}

TEST_CASE("Published, RowsFollowTheTextGuide")
{
    const auto& table = nature::standard_taxa();
    for (const auto tier :
         {app::PrivacyTier::Exact, app::PrivacyTier::Grid, app::PrivacyTier::Cells}) {
        const auto files = darwin_core_files(sample(tier), kStatement, table);
        const auto core = table_of(file_of(files, "occurrence.txt"));
        REQUIRE(core.size() > 1);
        std::set<std::string> keys;
        const auto& heading = core.front();
        const auto column = [&](const std::string& name) {
            const auto found = std::find(heading.begin(), heading.end(), name);
            REQUIRE(found != heading.end());
            return static_cast<std::size_t>(found - heading.begin());
        };
        for (std::size_t i = 1; i < core.size(); ++i) {
            const auto& row = core[i];
            CHECK(row.size() == heading.size());
            CHECK(keys.insert(row[0]).second);  // the key of the core is there once
            // Zero is not allowed; blank says that it is not known.
            const auto& uncertainty = row[column("coordinateUncertaintyInMeters")];
            CHECK((uncertainty.empty() || std::stod(uncertainty) > 0));
            CHECK(uncertainty.empty() == (tier == app::PrivacyTier::Exact));
            CHECK(std::abs(std::stod(row[column("decimalLatitude")])) <= 90);
            CHECK(std::abs(std::stod(row[column("decimalLongitude")])) <= 180);
            CHECK(row[column("informationWithheld")].find("clients") != std::string::npos);
            CHECK(row[column("dataGeneralizations")].empty() == (tier == app::PrivacyTier::Exact));
            // Each of the two needs the other.
            CHECK(!row[column("organismQuantity")].empty());
            CHECK(!row[column("organismQuantityType")].empty());
        }
        for (const char* extension : {"event.txt", "measurementorfact.txt"}) {
            const auto rows = table_of(file_of(files, extension));
            for (std::size_t i = 1; i < rows.size(); ++i) {
                CHECK(rows[i].size() == rows.front().size());
                CHECK(keys.count(rows[i][0]) == 1);  // each points at a row of the core
            }
        }
    }
}

// Readers: Info-ZIP's unzip by way of Python's zipfile, xmllint, and GDAL's CSV driver in the zip.
TEST_CASE("Published, OtherReadersOpenTheArchive")
{
    const Folder folder;
    const auto path = folder / "nests.zip";
    write_darwin_core(sample(app::PrivacyTier::Grid), kStatement, nature::standard_taxa(), path);
    const auto xml =
        run_shell("/usr/bin/python3 -c \"import zipfile,sys; z=zipfile.ZipFile('" + path +
                  "'); assert z.testzip() is None; print(','.join(z.namelist())); "
                  "open('" +
                  (folder / "meta.xml") + "','wb').write(z.read('meta.xml')); open('" +
                  (folder / "eml.xml") + "','wb').write(z.read('eml.xml'))\" && xmllint --noout " +
                  (folder / "meta.xml") + " " + (folder / "eml.xml"));
    INFO(xml.words);
    CHECK(xml.code == 0);
    CHECK(xml.words.find("meta.xml,eml.xml,occurrence.txt,event.txt,measurementorfact.txt") !=
          std::string::npos);
    const auto gdal = run_shell("ogrinfo -ro -so -al CSV:/vsizip/" + path + "/occurrence.txt");
    INFO(gdal.words);
    CHECK(gdal.code == 0);
    CHECK(gdal.words.find("Feature Count: 7") != std::string::npos);
}
