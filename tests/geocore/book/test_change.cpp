#include <limits>

#include "geocore/book/book.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;
using book::Load;

namespace {

std::string extent_in(const std::string& path, const std::string& table)
{
    return Stranger{path}.ask(
        "SELECT min_x, min_y, max_x, max_y FROM gpkg_contents WHERE "
        "table_name = '" +
        table + "'");
}

}  // namespace

TEST_CASE("Change, IsNothingUnlessCommitted")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    {
        Change change{book, kNow};
        change.insert(some_site(1));
        change.set_setting("a", "b");
        CHECK(book.site(key<SiteId>(1)));
    }
    CHECK_FALSE(book.site(key<SiteId>(1)));
    CHECK(book.settings().empty());
    CHECK(extent_in(folder / "a.gpkg", "site") == "NULL NULL NULL NULL");
}

TEST_CASE("Change, KeepsExtentAndIndexTrue")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book book = Book::create(path, kNow);
    for (const auto load : {Load::Few, Load::Many}) {
        const unsigned first = load == Load::Few ? 1 : 11;
        Change change{book, kNow, load};
        change.insert(some_site(first, 9.25, 47.5));
        change.insert(some_site(first + 1, 9.75, 47.25));
        change.commit();
    }
    CHECK(extent_in(path, "site") == "9.25 47.25 9.75 47.5");
    CHECK(Stranger{path}.ask("SELECT count(*) FROM rtree_site_geom") == "4");

    // Moving the outermost point draws the extent in, too.
    {
        Change change{book, at("2026-08-05T00:00:00Z")};
        change.update(some_site(2, 9.5, 47.25));
        change.update(some_site(12, 9.5, 47.375));
        change.commit();
    }
    CHECK(extent_in(path, "site") == "9.25 47.25 9.5 47.5");
    Stranger stranger{path};
    CHECK(stranger.ask("SELECT last_change FROM gpkg_contents WHERE table_name = 'site'") ==
          "2026-08-05T00:00:00.000Z");
    CHECK(stranger.ask("SELECT count(*) FROM rtree_site_geom WHERE maxx > 9.6") == "0");
    CHECK(stranger.ask("SELECT rtreecheck('rtree_site_geom')") == "ok");
}

TEST_CASE("Change, ManyRowsLeaveTheTriggersInPlace")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book book = Book::create(path, kNow);
    const auto triggers = [&] {
        return Stranger{path}.ask("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'");
    };
    const auto before = triggers();
    {
        Change given_up{book, kNow, Load::Many};
        given_up.insert(some_site(1));
    }
    CHECK(triggers() == before);
    {
        Change change{book, kNow, Load::Many};
        change.insert(some_site(1));
        change.commit();
    }
    CHECK(triggers() == before);
    CHECK(Stranger{path}.ask("SELECT count(*) FROM rtree_site_geom") == "1");
}

TEST_CASE("Change, StampsCreatedOnceAndChangedEachTime")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    Book book = Book::create(path, kNow);
    {
        Change change{book, kNow};
        change.insert(some_site(1));
        change.commit();
    }
    {
        Change change{book, at("2026-09-01T12:00:00Z")};
        change.update(some_site(1, 9.6));
        change.commit();
    }
    CHECK(Stranger{path}.ask("SELECT created_at, changed_at FROM site") ==
          "2026-08-04T06:30:00.000Z 2026-09-01T12:00:00.000Z");
}

TEST_CASE("Change, UpdatingWhatIsNotThereIsAnError")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    CHECK(error_of([&] { change.update(some_site(1)); }).code == ErrorCode::NotFound);
}

TEST_CASE("Change, RefusesNumbersThatAreNone")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(error_of([&] { change.insert(some_site(1, nan)); }).code == ErrorCode::InvalidInput);
    CHECK(error_of([&] { change.insert(some_site(1, 181)); }).code == ErrorCode::InvalidInput);
    change.insert(some_site(1));
    for (const double height : {nan, std::numeric_limits<double>::infinity()}) {
        Nest nest = some_nest(1, 1);
        nest.height = Metres{height};
        CHECK(error_of([&] { change.insert(nest); }).code == ErrorCode::InvalidInput);
    }
}

TEST_CASE("Change, ARefusalNamesRowAndRule")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    change.insert(some_site(1));
    Nest nest = some_nest(1, 1);
    nest.height = Metres{200};
    const auto error = error_of([&] { change.insert(nest); });
    CHECK(error.code == ErrorCode::RuleBroken);
    CHECK(error.where.find("nest " + nest.id.text()) != std::string::npos);
    CHECK(error.message.find("height") != std::string::npos);
    CHECK(error.message.find("150 m") != std::string::npos);

    CHECK(error_of([&] { change.insert(some_nest(1, 99)); }).message ==
          "nest.site_id names no site of this book");
    CHECK(error_of([&] { change.insert(some_site(1)); }).message ==
          "a site with this key is already there");
}

TEST_CASE("Change, GoesOnAfterARefusedRow")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    change.insert(some_site(1));
    (void)error_of([&] { change.insert(some_nest(1, 99)); });
    {
        const book::Part part{change};
        change.insert(some_site(2));
    }
    {
        book::Part part{change};
        change.insert(some_site(3));
        part.keep();
    }
    change.commit();
    CHECK(book.site(key<SiteId>(1)));
    CHECK_FALSE(book.site(key<SiteId>(2)));
    CHECK(book.site(key<SiteId>(3)));
}

TEST_CASE("Change, PutsWeatherOnceAndCountsWhatItDid")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    fill(book);
    const auto station = key<StationId>(1);
    const std::vector<WeatherDay> days{{station, day("2026-08-01"), Celsius{11}, Celsius{24.5}},
                                       {station, day("2026-08-02"), Celsius{10}, Celsius{20}},
                                       {station, day("2026-08-03"), Celsius{12}, Celsius{27}}};
    Change change{book, kNow};
    const auto tally = change.put(days);
    CHECK(tally.same == 1);
    CHECK(tally.added == 1);
    CHECK(tally.changed == 1);
    const std::vector<WeatherDay> upside_down{
        {station, day("2026-08-04"), Celsius{25}, Celsius{11}}};
    CHECK(error_of([&] { change.put(upside_down); }).code == ErrorCode::RuleBroken);
    change.commit();
    CHECK(book.weather(station, day("2026-08-01"), day("2026-08-31")).size() == 3);
}

TEST_CASE("Change, GearThatIsNoLongerListedGoesToTheStore")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    fill(book);
    auto crew = book.crews().at(0);
    Gear ladder;
    ladder.id = key<GearId>(2);
    ladder.kind = GearKind::Ladder;
    crew.gear = {ladder};
    crew.active = false;
    Change change{book, kNow};
    change.update(crew);
    change.commit();
    CHECK(book.crews().empty());
    REQUIRE(book.crews(true).size() == 1);
    REQUIRE(book.crews(true)[0].gear.size() == 1);
    CHECK(book.crews(true)[0].gear[0].kind == GearKind::Ladder);
    REQUIRE(book.gear_in_store().size() == 1);
    CHECK(book.gear_in_store()[0].kind == GearKind::Pole);
}

TEST_CASE("Change, AnEmptySettingIsRemoved")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    Change change{book, kNow};
    change.set_setting("a", "1");
    change.set_setting("b", "2");
    change.set_setting("a", "3");
    change.set_setting("b", "");
    change.commit();
    CHECK(book.settings() == std::map<std::string, std::string>{{"a", "3"}});
}
