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

const int kToday = book::standard_migrations().back().number;

/// The name of the copy that is made of a book of today's schema, or `later` steps after it.
std::string copy_of(int later = 0, const std::string& tail = "")
{
    return "a.schema-" + std::to_string(kToday + later) + tail + ".gpkg";
}

struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    std::string copy = folder / copy_of();
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
        CHECK(connection->schema_version == kToday + 2);
    }
    Stranger mended{scene.path};
    CHECK(mended.ask("SELECT value FROM app_meta WHERE key = 'schema_version'") ==
          std::to_string(kToday + 2));
    CHECK(mended.ask("SELECT colour FROM gear") == "red");
    CHECK(mended.ask("SELECT count(*) FROM site") == "3");

    // The copy is the book as it was: whole, valid, and of the older schema.
    const auto old = book::Book::open(scene.copy);
    CHECK(old.schema_version() == kToday);
    CHECK(old.waiting_calls(day("2026-08-04")).size() == 3);
    CHECK(Stranger{scene.copy}.ask("PRAGMA integrity_check") == "ok");
}

TEST_CASE("Migration, FromEveryEarlierVersionLeadsToTheSame")
{
    const Scene scene;
    {
        const auto two =
            open_book(scene.path, false, std::span{kTwoMore}.first(kTwoMore.size() - 1));
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
    CHECK(std::filesystem::exists(scene.folder / copy_of(1)));
}

TEST_CASE("Migration, ThatFailsLeavesTheBookAsItWas")
{
    const Scene scene;
    const auto broken = later({"ALTER TABLE gear ADD COLUMN colour TEXT;",
                               "UPDATE gear SET colour = 'red'; SELECT no_such_function();"});
    CHECK(error_of([&] { (void)open_book(scene.path, false, broken); }).code ==
          ErrorCode::BookFailed);
    const auto book = book::Book::open(scene.path);
    CHECK(book.schema_version() == kToday);
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
    const auto earlier = scene.folder.write(copy_of(), "something else");
    {
        const auto connection = open_book(scene.path, false, kTwoMore);
    }
    CHECK(bytes_of(earlier) == "something else");
    CHECK(book::Book::open(scene.folder / copy_of(0, "-2")).schema_version() == kToday);
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

TEST_CASE("Migration, ABookOfTheFirstSchemaIsBroughtToTodays")
{
    const Folder folder;
    const auto path = folder / "first.gpkg";
    book::create_book_file(path, kNow, book::standard_migrations().first(1));
    const auto fresh = folder / "fresh.gpkg";
    (void)book::Book::create(fresh, kNow);
    {
        book::Book book = book::Book::open(path);
        CHECK(book.schema_version() == kToday);
        fill(book);
    }
    const auto schema_of = [](const std::string& file) {
        return Stranger{file}.ask(
            "SELECT group_concat(sql) FROM (SELECT sql FROM sqlite_master "
            "ORDER BY type, name)");
    };
    CHECK(schema_of(path) == schema_of(fresh));
    CHECK(std::filesystem::exists(folder / "first.schema-1.gpkg"));
}

TEST_CASE("Migration, TheGroundBeforeANestComesBackAndIsHeldToItsRules")
{
    const Scene scene;
    book::Book book = book::Book::open(scene.path);
    auto nest = book.waiting_calls(day("2026-08-04")).front().nest;
    CHECK(nest.ground.structure == Structure::Unknown);
    CHECK_FALSE(nest.ground.set_back);
    nest.ground = {Metres{1.5}, Metres{0.4}, 10.0, Structure::Soffit, PowerLines::Near, Metres{6}};
    {
        book::Change change{book, kNow};
        change.update(nest);
        change.commit();
    }
    const auto read = book.nest(nest.id)->ground;
    CHECK(read.set_back == Metres{1.5});
    CHECK(read.step == Metres{0.4});
    CHECK(read.slope_degrees == 10.0);
    CHECK(read.structure == Structure::Soffit);
    CHECK(read.power_lines == PowerLines::Near);
    CHECK(read.power_line_distance == Metres{6});
    nest.ground.set_back = Metres{-1};
    book::Change change{book, kNow};
    CHECK(error_of([&] { change.update(nest); }).code == ErrorCode::RuleBroken);
}

TEST_CASE("Migration, FromEverySchemaThatEverWasABookOfTodayComesOut")
{
    const Folder folder;
    const auto fresh = folder / "fresh.gpkg";
    (void)book::Book::create(fresh, kNow);
    const auto schema_of = [](const std::string& file) {
        return Stranger{file}.ask(
            "SELECT group_concat(sql) FROM (SELECT sql FROM sqlite_master ORDER BY type, name)");
    };
    for (int from = 1; from < kToday; ++from) {
        INFO("from schema " << from);
        const auto path = folder / ("of-" + std::to_string(from) + ".gpkg");
        book::create_book_file(path, kNow,
                               book::standard_migrations().first(static_cast<std::size_t>(from)));
        {
            book::Book book = book::Book::open(path);
            CHECK(book.schema_version() == kToday);
            fill(book);
        }
        CHECK(schema_of(path) == schema_of(fresh));
        CHECK(std::filesystem::exists(
            folder / ("of-" + std::to_string(from) + ".schema-" + std::to_string(from) + ".gpkg")));
    }
}

TEST_CASE("Migration, HoursOfWeatherComeBackAndAreHeldToTheirRules")
{
    const Scene scene;
    book::Book book = book::Book::open(scene.path);
    const auto station = book.stations().front().id;
    const Instant noon = parse_instant("2026-08-04T12:00:00Z").value();
    WeatherHour full{
        station, noon, Celsius{31.5}, Fraction{0.55}, MetresPerSecond{4}, MetresPerSecond{9}, true};
    WeatherHour dry;  // a thermometer and nothing else
    dry.station = station;
    dry.at = noon + std::chrono::hours{1};
    dry.temperature = Celsius{32};
    {
        book::Change change{book, kNow};
        const auto tally = change.put(std::vector{full, dry});
        CHECK(tally.added == 2);
        change.commit();
    }
    const auto read = book.weather_hours(station, noon, noon + std::chrono::hours{2});
    REQUIRE(read.size() == 2);
    CHECK(read[0] == full);
    CHECK(read[1] == dry);
    CHECK_FALSE(read[1].humidity);
    CHECK(book.weather_hours(station, noon, noon + std::chrono::hours{1}).size() == 1);
    full.thunder = false;
    book::Change change{book, kNow};
    const auto tally = change.put(std::vector{full, dry});
    CHECK(tally.changed == 1);
    CHECK(tally.same == 1);
    WeatherHour wet = full;
    wet.humidity = Fraction{55};
    CHECK(error_of([&] { (void)change.put(std::vector{wet}); }).code == ErrorCode::RuleBroken);
    WeatherHour nothing;
    nothing.station = station;
    nothing.at = noon;
    CHECK(error_of([&] { (void)change.put(std::vector{nothing}); }).code == ErrorCode::RuleBroken);
    WeatherHour orphan = full;
    orphan.station = StationId{};
    orphan.at = noon + std::chrono::hours{9};
    CHECK(error_of([&] { (void)change.put(std::vector{orphan}); }).code == ErrorCode::RuleBroken);
}

TEST_CASE("Migration, HabitatsLogsAndTheWayCellsWereCountedComeBackAndAreHeldToTheirRules")
{
    const Scene scene;
    book::Book book = book::Book::open(scene.path);
    Habitat habitat;
    habitat.id = key<HabitatId>(1);
    habitat.name = "warm box";
    habitat.place = "barn";
    habitat.trip_min = 40;
    habitat.passing_min = 8;
    habitat.combs = 6;
    habitat.cells = 20000;
    habitat.set_point = Celsius{30};
    const HabitatReading reading{habitat.id, kNow, Celsius{29.5}, Fraction{0.6}};
    CombPiece comb = book.all_comb().front();
    CHECK(comb.counted == CellCount::Counted);  // what an older book's comb is
    CHECK(comb.doubt == 0);
    comb.counted = CellCount::Photograph;
    comb.doubt = 0.2;
    comb.area_cm2 = 310.5;
    comb.stands_from = kNow;
    comb.stands_to = kNow + std::chrono::hours{480};
    comb.sealed_least_days = 3;
    comb.sealed_most_days = 9;
    comb.nurses = true;
    {
        book::Change change{book, kNow};
        change.insert(habitat);
        CHECK(change.put(std::vector{reading}).added == 1);
        CHECK(change.put(std::vector{reading}).same == 1);
        change.update(comb);
        change.commit();
    }
    REQUIRE(book.habitats().size() == 1);
    const Habitat read = book.habitats().front();
    CHECK(read.name == "warm box");
    CHECK(read.place == "barn");
    CHECK(read.passing_min == 8);
    CHECK(read.combs == 6);
    CHECK(read.cells == 20000);
    CHECK(read.set_point == Celsius{30});
    const auto log = book.habitat_readings(habitat.id, kNow, kNow + std::chrono::hours{1});
    REQUIRE(log.size() == 1);
    CHECK(log.front() == reading);
    const CombPiece back = book.all_comb().front();
    CHECK(back.counted == CellCount::Photograph);
    CHECK(back.doubt == 0.2);
    CHECK(back.area_cm2 == 310.5);
    CHECK(back.stands_from == comb.stands_from);
    CHECK(back.stands_to == comb.stands_to);
    CHECK(back.sealed_least_days == 3);
    CHECK(back.sealed_most_days == 9);
    CHECK(back.nurses == true);

    book::Change change{book, kNow};
    const auto refuses = [](auto&& write) { return error_of(write).code == ErrorCode::RuleBroken; };
    Habitat twin = habitat;
    twin.id = key<HabitatId>(2);
    CHECK(refuses([&] { change.insert(twin); }));  // the name is taken
    twin.name = "other";
    twin.combs = 0;
    CHECK(refuses([&] { change.insert(twin); }));
    HabitatReading orphan = reading;
    orphan.habitat = key<HabitatId>(9);
    CHECK(refuses([&] { (void)change.put(std::vector{orphan}); }));
    comb.sealed_most_days = 1;
    CHECK(refuses([&] { change.update(comb); }));
    comb.sealed_most_days = 9;
    comb.stands_to = kNow - std::chrono::hours{1};
    CHECK(refuses([&] { change.update(comb); }));
    comb.stands_to.reset();
    comb.doubt = 4;
    CHECK(refuses([&] { change.update(comb); }));
}

TEST_CASE("Migration, SecondVisitsComeBackAndAreHeldToTheirRules")
{
    const Scene scene;
    book::Book book = book::Book::open(scene.path);
    auto call = book.waiting_calls(day("2026-08-04")).front().call;
    CHECK_FALSE(call.second.is_wanted());
    call.second = {std::chrono::minutes{240}, std::chrono::minutes{20}, kNow};
    {
        book::Change change{book, kNow};
        change.update(call);
        change.commit();
    }
    const auto read = book.call(call.id)->call.second;
    CHECK(read.after == std::chrono::minutes{240});
    CHECK(read.length == std::chrono::minutes{20});
    CHECK(read.due == kNow);
    call.second.after = std::chrono::minutes{-1};
    book::Change change{book, kNow};
    CHECK(error_of([&] { change.update(call); }).code == ErrorCode::RuleBroken);
    call.second = {std::chrono::minutes{240}, std::chrono::minutes{721}, {}};
    CHECK(error_of([&] { change.update(call); }).code == ErrorCode::RuleBroken);
}
