#include "geocore/intake/taxa_folder.hpp"

#include <filesystem>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;

namespace {

const std::string kHeader =
    "subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark\n";

}  // namespace

TEST_CASE("TaxaFolder, ReadsEveryTableInTheFolder")
{
    const Folder folder;
    folder.write("sources.csv", "key,citation\nCREW,our records\n");
    folder.write("b.csv", kHeader + "VMAC,mass.worker,60,66,70,,mg,,,CREW,practice\n");
    // A byte order mark and line ends of another system are no mistakes.
    folder.write("a.csv", "\xEF\xBB\xBF" + kHeader.substr(0, kHeader.size() - 1) +
                              "\r\nDMAC,workers.peak,100,200,300,,wasps,,,CREW,practice\r\n");
    folder.write("readme.txt", "not a table");
    const auto table = intake::read_taxa_folder(folder / "");
    CHECK(table.figure("VMAC", "mass.worker")->middle() == 66);
    CHECK(table.figure("DMAC", "workers.peak")->middle() == 200);
    CHECK(table.figure("DARE", "workers.peak")->middle() ==
          nature::standard_taxa().figure("DARE", "workers.peak")->middle());
}

TEST_CASE("TaxaFolder, RefusesWhatIsNoFolderOfTables")
{
    const Folder folder;
    CHECK_THROWS_WITH(intake::read_taxa_folder(folder / "nowhere"), Contains("no such folder"));
    CHECK_THROWS_WITH(intake::read_taxa_folder(folder.write("file.csv", "x")),
                      Contains("no such folder"));
    std::filesystem::create_directory(folder / "empty");
    CHECK_THROWS_WITH(intake::read_taxa_folder(folder / "empty"), Contains("holds no .csv file"));
    const auto path =
        folder.write("file.csv", kHeader + "VMAC,mass.worker,,1,,,g,,,OWN,practice\n");
    CHECK_THROWS_WITH(intake::read_taxa_folder(folder / ""),
                      Contains(path + ":2, column unit") && Contains("'mg'"));
}
