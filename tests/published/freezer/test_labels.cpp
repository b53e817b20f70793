// Labels and papers against readers of others, and against common practice.
#include <array>
#include <cstdio>
#include <fstream>
#include <set>
#include <sstream>

#include "planner/freezer/lot_code.hpp"
#include "planner/sheets/label_sheet.hpp"
#include "planner/sheets/lot_papers.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;

namespace {

std::string shell(const std::string& command)
{
    std::string out;
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 512> part{};
    while (fgets(part.data(), static_cast<int>(part.size()), pipe) != nullptr) {
        out += part.data();
    }
    pclose(pipe);
    return out;
}

sheets::LotLabel label(const std::string& code)
{
    Lot lot;
    lot.code = code;
    lot.taxon = "VMAC";
    lot.mass = Grams{41.2};
    lot.count = 612;
    lot.frozen_at = parse_instant("2026-08-04T06:30:00Z").value();
    lot.sealed_at = parse_instant("2026-08-06T18:00:00Z").value();
    lot.method = FreezingMethod::DryIce;
    return {lot, "Vespula maculifrons"};
}

}  // namespace

TEST_CASE("Published, QrCodesOfAWholeSheetAreReadByAnotherDecoder")
{
    // ISO/IEC 18004:2015, decoded by ZBar from the page as Poppler draws it at 300 dots an inch.
    const Folder folder;
    Random random{21};
    std::vector<sheets::LotLabel> labels;
    std::set<std::string> codes;
    while (codes.size() < 21) {
        const auto code = freezer::make_lot_code(random);
        if (codes.insert(code).second) {
            labels.push_back(label(code));
        }
    }
    const auto pdf = folder.write("sheet.pdf", sheets::label_sheet_pdf(labels, {}));
    (void)shell("pdftoppm -r 300 -png " + pdf + " " + pdf);
    std::istringstream read{shell("zbarimg --nodbus -q --raw " + pdf + "-1.png")};
    std::set<std::string> found;
    for (std::string line; std::getline(read, line);) {
        found.insert(line);
    }
    CHECK(found == codes);
    // And none is on a second sheet: 3 by 7 of 63 x 38 mm are 21.
    CHECK(sheets::columns_of({}) * sheets::rows_of({}) == 21);
}

TEST_CASE("Practice, EachBagBearsTheDateAndTheSpecies")
{
    // Common practice of the trade, no source.
    const Folder folder;
    const auto pdf = folder.write("one.pdf", sheets::label_sheet_pdf({label("K7F4-TQ7")}, {}));
    const auto words = shell("pdftotext -layout " + pdf + " -");
    CHECK_THAT(words, Contains("2026-08-04"));
    CHECK_THAT(words, Contains("Vespula maculifrons"));
}

TEST_CASE("Practice, LiveWorkersAreFrozenOnDryIce")
{
    // Common practice of the trade, no source: the first of the methods that a lot may name, and
    // what a certificate then says.
    CHECK(freezing_method("dry_ice") == FreezingMethod::DryIce);
    sheets::ShipmentPaper paper;
    freezer::LotStory story;
    story.now = label("K7F4-TQ7").lot;
    paper.lots.push_back({story, "Vespula maculifrons"});
    CHECK_THAT(sheets::document_text(sheets::certificate_of_origin(paper)),
               Contains("alive onto dry ice"));
}
