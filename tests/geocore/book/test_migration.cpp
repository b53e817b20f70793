#include <filesystem>

#include "geocore/book/schema.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Migration;
using book::open_book;

namespace {

/// Today's schema, and what later programs might add.
std::vector<Migration> later(std::vector<std::string> further)
{
    std::vector<Migration> out{book::standard_migrations().begin(),
                               book::standard_migrations().end()};
    for (auto& sql : further) {
        out.push_back({out.back().number + 1, std::move(sql)});
    }
    return out;
}

const auto kTwoMore = later({"ALTER TABLE gear ADD COLUMN colour TEXT;",
                             "UPDATE gear SET colour = 'red'; CREATE TABLE extra (x)"});

struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    std::string copy = folder / "a.schema-1.gpkg";
    Scene()
    {
        book::Book book = book::Book::create(path, kNow);
        fill(book);
    }
};

}  // namespace

TEST_CASE("Migration, BringsAnOlderBookUpToDateAndCopiesItFirst")
{
    const Scene scene;
    {
        const auto connection = open_book(scene.path, false, kTwoMore);
        CHECK(connection->schema_version == 3);
    }
    Stranger mended{scene.path};
    CHECK(mended.ask("SELECT value FROM app_meta WHERE key = 'schema_version'") == "3");
    CHECK(mended.ask("SELECT colour FROM gear") == "red");
    CHECK(mended.ask("SELECT count(*) FROM site") == "3");

    // The copy is the book as it was: whole, valid, and of the older schema.
    const auto old = book::Book::open(scene.copy);
    CHECK(old.schema_version() == 1);
    CHECK(old.waiting_calls(day("2026-08-04")).size() == 3);
    CHECK(Stranger{scene.copy}.ask("PRAGMA integrity_check") == "ok");
}

TEST_CASE("Migration, FromEveryEarlierVersionLeadsToTheSame")
{
    const Scene scene;
    {
        const auto two = open_book(scene.path, false, std::span{kTwoMore}.first(2));
    }
    {
        const auto three = open_book(scene.path, false, kTwoMore);
    }
    const Folder folder;
    const auto fresh = folder / "b.gpkg";
    book::create_book_file(fresh, kNow, kTwoMore);
    const auto schema_of = [](const std::string& path) {
        return Stranger{path}.ask(
            "SELECT group_concat(sql) FROM (SELECT sql FROM sqlite_master "
            "ORDER BY type, name)");
    };
    CHECK(schema_of(scene.path) == schema_of(fresh));
    CHECK(std::filesystem::exists(scene.folder / "a.schema-2.gpkg"));
}

TEST_CASE("Migration, ThatFailsLeavesTheBookAsItWas")
{
    const Scene scene;
    const auto broken = later({"ALTER TABLE gear ADD COLUMN colour TEXT;",
                               "UPDATE gear SET colour = 'red'; SELECT no_such_function();"});
    CHECK(error_of([&] { (void)open_book(scene.path, false, broken); }).code ==
          ErrorCode::BookFailed);
    const auto book = book::Book::open(scene.path);
    CHECK(book.schema_version() == 1);
    CHECK(Stranger{scene.path}.ask("SELECT count(*) FROM pragma_table_info('gear') WHERE name = "
                                   "'colour'") == "0");
}

TEST_CASE("Migration, ThatWouldBreakAReferenceIsTakenBack")
{
    const Scene scene;
    const auto orphaning = later({"DROP TRIGGER crew_keeps_gear_crew_id; DELETE FROM crew;"});
    CHECK(error_of([&] { (void)open_book(scene.path, false, orphaning); }).code ==
          ErrorCode::RuleBroken);
    CHECK(book::Book::open(scene.path).crews().size() == 1);
}

TEST_CASE("Migration, NeverOverwritesAnEarlierCopy")
{
    const Scene scene;
    const auto earlier = scene.folder.write("a.schema-1.gpkg", "something else");
    {
        const auto connection = open_book(scene.path, false, kTwoMore);
    }
    CHECK(bytes_of(earlier) == "something else");
    CHECK(book::Book::open(scene.folder / "a.schema-1-2.gpkg").schema_version() == 1);
}

TEST_CASE("Migration, IsNotDoneWhenOnlyReading")
{
    const Scene scene;
    const auto error = error_of([&] { (void)open_book(scene.path, true, kTwoMore); });
    CHECK(error.code == ErrorCode::WrongVersion);
    CHECK(error.message.find("book update") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(scene.copy));
}

TEST_CASE("Migration, ABookFromANewerProgramIsRefusedUntouched")
{
    const Scene scene;
    {
        const auto connection = open_book(scene.path, false, kTwoMore);
    }
    const auto before = bytes_of(scene.path);
    for (const auto mode : {book::Mode::ReadWrite, book::Mode::ReadOnly}) {
        const auto error = error_of([&] { (void)book::Book::open(scene.path, mode); });
        CHECK(error.code == ErrorCode::WrongVersion);
        CHECK(error.message.find("newer") != std::string::npos);
    }
    CHECK(bytes_of(scene.path) == before);
}

TEST_CASE("Migration, NumbersFollowEachOther")
{
    int number = 0;
    for (const auto& migration : book::standard_migrations()) {
        CHECK(migration.number == ++number);
        CHECK_FALSE(migration.sql.empty());
    }
}
