#include "planner/app/own_catches.hpp"

#include "geocore/nature/taxa_table.hpp"
#include "planner/app/import_calls.hpp"
#include "planner/app/import_catches.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;

namespace {

const Instant kNow = *parse_instant("2026-08-04T06:00:00Z");

std::optional<std::string> as_is(std::string_view name) { return std::string{name}; }

/// A book with two calls, K1 and K2, both of V. germanica in a wall.
book::Book book_in(const test::Folder& folder, app::KeyMaker& keys)
{
    auto book = book::Book::create(folder / "a.gpkg", kNow);
    intake::CallBatch batch;
    for (std::size_t number = 1; number <= 2; ++number) {
        intake::CallRow row;
        row.row = number;
        row.sheet.site.place = {Longitude{-77}, Latitude{41.2}};
        row.sheet.nest.taxon = "VGER";
        row.sheet.nest.kind = NestKind::Void;
        row.sheet.call.received = *parse_day("2026-07-01");
        row.sheet.call.source_key = "K" + std::to_string(number);
        batch.rows.push_back(row);
    }
    REQUIRE(app::import_calls(book, batch, kNow, keys).added == 2);
    return book;
}

constexpr const char* kHeader = "call,taken,crew,method,species,count,mass_g,males,note\n";

}  // namespace

TEST_CASE("ImportCatches, TwiceAddsNothingAndBadRowsAreRefusedByLine")
{
    const test::Folder folder;
    app::KeyMaker keys{1};
    auto book = book_in(folder, keys);
    const auto file =
        folder.write("catches.csv", std::string{kHeader} +
                                        "K1,2026-08-01,,hand,VGER,500,37,,\n"
                                        "K9,2026-08-01,,hand,VGER,500,37,,\n"
                                        "K2,2026-08-01,Nobody,hand,VGER,500,37,,\n"
                                        "K2,2026-08-01,,broom,VGER,500,37,,\n"
                                        "K2,2026-08-01,,hand,VGER,,,,\n"
                                        "K2,2026-08-02T07:00:00Z,,ladder,VGER,300,22,yes,late\n");
    const auto batch = intake::read_catches(file, as_is);
    const auto first = app::import_catches(book, batch, kNow, keys);
    CHECK(first.added == 2);
    REQUIRE(first.refused.size() == 4);
    CHECK(first.refused[0].row == 3);
    CHECK(first.refused[0].column == "call");
    CHECK(first.refused[1].column == "crew");
    CHECK(first.refused[2].column == "method");
    CHECK(first.refused[3].row == 6);
    const auto second = app::import_catches(book, batch, kNow, keys);
    CHECK(second.added == 0);
    CHECK(second.known == 2);
    CHECK(book.all_visits().size() == 2);
    // The calls are closed as taken.
    CHECK(book.waiting_calls(*parse_day("2026-08-04")).empty());
}

TEST_CASE("OwnCatches, NeverOfTheDayAskedForOrLater")
{
    const test::Folder folder;
    app::KeyMaker keys{1};
    auto book = book_in(folder, keys);
    const auto file = folder.write("catches.csv", std::string{kHeader} +
                                                      "K1,2026-08-01,,hand,VGER,500,37,,\n"
                                                      "K2,2026-08-03,,ladder,VGER,300,22,yes,\n");
    REQUIRE(app::import_catches(book, intake::read_catches(file, as_is), kNow, keys).added == 2);
    CHECK(app::own_catches(book, *parse_day("2026-08-01")).empty());
    CHECK(app::own_catches(book, *parse_day("2026-08-03")).size() == 1);
    const auto all = app::own_catches(book, *parse_day("2026-08-04"));
    REQUIRE(all.size() == 2);
    CHECK(all[0].method == "hand");
    CHECK_FALSE(all[0].males);
    CHECK(all[1].males);
    const auto& table = nature::standard_taxa();
    const auto settings = app::learned_settings(book, {}, table, *parse_day("2026-08-04"));
    REQUIRE(settings.learned);
    CHECK(settings.learned->records() == 1);
    CHECK_FALSE(app::learned_settings(book, {}, table, *parse_day("2026-08-01")).learned);
    const auto test = app::backtest(all, table);
    CHECK(test.rows.size() == 1);
    CHECK(test.left_out == 1);
    CHECK(test.rows[0].naive.value() == 0);
}

TEST_CASE("OwnCatches, ASecondVisitTellsNothingOfAWholeColony")
{
    const test::Folder folder;
    app::KeyMaker keys{1};
    auto book = book_in(folder, keys);
    const auto file = folder.write("catches.csv", std::string{kHeader} +
                                                      "K1,2026-08-01,,hand,VGER,500,37,,\n"
                                                      "K2,2026-08-01,,hand,VGER,400,30,,\n");
    REQUIRE(app::import_catches(book, intake::read_catches(file, as_is), kNow, keys).added == 2);
    const auto first = book.all_visits().front();
    const auto again = [&](std::chrono::hours later, std::optional<CallId> call, bool brought) {
        book::Change change{book, kNow};
        Visit visit = first;
        visit.id = keys.make<VisitId>(kNow);
        visit.call = call;
        visit.begun += later;
        change.insert(visit);
        CatchRecord caught;
        caught.id = keys.make<CatchId>(kNow);
        caught.visit = visit.id;
        caught.taxon = "VGER";
        caught.count = 90;
        caught.frozen_at = visit.begun;
        if (brought) {
            change.insert(caught);
        }
        change.commit();
    };
    // An earlier one that brought nothing left the colony whole.
    again(std::chrono::hours{-30}, first.call, false);
    CHECK(app::own_catches(book, *parse_day("2026-08-04")).size() == 2);
    again(std::chrono::hours{5}, first.call, true);
    const auto all = app::own_catches(book, *parse_day("2026-08-04"));
    REQUIRE(all.size() == 2);
    CHECK(*all[0].count + *all[1].count == 900);
    again(std::chrono::hours{5}, std::nullopt, true);  // another visit, of no call: counts
    CHECK(app::own_catches(book, *parse_day("2026-08-04")).size() == 3);
}
