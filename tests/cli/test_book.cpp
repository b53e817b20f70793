// nestround book create | check | update, as typed.
#include <sqlite3.h>

#include <algorithm>

#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

void damage(const std::string& path, const char* sql)
{
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &handle) == SQLITE_OK);
    REQUIRE(sqlite3_exec(handle, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(handle);
}

}  // namespace

TEST_CASE("BookCommand, CreatesAndChecks")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    const auto made = run_program({"book", "create", path});
    CHECK(made.code == 0);
    CHECK_THAT(made.out, Contains(path));
    const auto good = run_program({"book", "check", path});
    CHECK(good.code == 0);
    CHECK_THAT(good.out, Contains("0 broken"));
    CHECK(run_program({"book", "update", path}).code == 0);
}

TEST_CASE("BookCommand, NeverOverwrites")
{
    const Folder folder;
    const auto path = folder.write("a.gpkg", "mine");
    const auto refused = run_program({"book", "create", path});
    CHECK(refused.code == 20);
    CHECK_THAT(refused.err, Contains("never overwritten"));
    CHECK(bytes_of(path) == "mine");
}

TEST_CASE("BookCommand, CheckListsWhatIsBrokenAndExitsWithIt")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    REQUIRE(run_program({"book", "create", path}).code == 0);
    damage(path,
           "PRAGMA ignore_check_constraints = ON; INSERT INTO setting (key, value, created_at, "
           "changed_at) VALUES ('region', 'x', 'yesterday', 'today')");
    const auto bad = run_program({"book", "check", path});
    CHECK(bad.code == 13);
    CHECK_THAT(bad.out, Contains("setting, fid 1: created and changed are instants in UTC"));
    CHECK_THAT(bad.err, Contains("1 broken rules"));
}

TEST_CASE("BookCommand, SaysInOneLineWhatTheFileIs")
{
    const Folder folder;
    const auto newer = folder / "newer.gpkg";
    REQUIRE(run_program({"book", "create", newer}).code == 0);
    damage(newer, "UPDATE app_meta SET value = '999' WHERE key = 'schema_version'");
    struct Case {
        std::string path;
        int code;
    };
    for (const auto& [path, code] :
         {Case{folder / "none.gpkg", 11}, Case{newer, 14},
          Case{folder.write("words.gpkg", "not a database, only words"), 10}}) {
        CAPTURE(path);
        const auto said = run_program({"book", "check", path});
        CHECK(said.code == code);
        CHECK(said.out.empty());
        CHECK_THAT(said.err, Contains(path));
        CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
    }
}

TEST_CASE("BookCommand, AFullDiskIsAOneLineError")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    const auto said = run_program({"book", "create", path}, "trap '' XFSZ; ulimit -f 40;");
    CHECK(said.code == 20);
    CHECK_THAT(said.err, Contains(path));
    CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
    CHECK(bytes_of(path).empty());
}
