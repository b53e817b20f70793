#include "planner/app/import_calls.hpp"

#include "geocore/base/error.hpp"
#include "planner/app/write_settings.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;

namespace {

const Instant kNow = *parse_instant("2026-08-04T06:00:00Z");

intake::CallRow row_number(std::size_t number)
{
    intake::CallRow row;
    row.row = number;
    row.sheet.site.place = {Longitude{-77}, Latitude{41.2}};
    row.sheet.site.label = "barn";
    row.sheet.call.received = *parse_day("2026-08-01");
    row.sheet.call.source_key = "K" + std::to_string(number);
    return row;
}

Client somebody()
{
    Client client;
    client.name = "Somebody";
    client.phone = "555-0100";
    return client;
}

/// Three rows of one client; the first breaks a rule of the book, whatever the reader thought.
intake::CallBatch batch_with_a_bad_first_row()
{
    intake::CallBatch batch;
    batch.file = "calls.csv";
    for (std::size_t number = 2; number <= 4; ++number) {
        batch.rows.push_back(row_number(number));
        batch.rows.back().client = somebody();
    }
    batch.rows.front().sheet.nest.width = Metres{-3};
    return batch;
}

}  // namespace

TEST_CASE("ImportCalls, ARowThatTheBookRefusesDoesNotStopTheRest")
{
    const test::Folder folder;
    auto book = book::Book::create(folder / "a.gpkg", kNow);
    app::KeyMaker keys{1};
    const auto tally = app::import_calls(book, batch_with_a_bad_first_row(), kNow, keys);
    CHECK(tally.added == 2);
    REQUIRE(tally.refused.size() == 1);
    CHECK(tally.refused.front().row == 2);
    const auto waiting = book.waiting_calls(*parse_day("2026-08-04"));
    REQUIRE(waiting.size() == 2);
    // Their client was first written with the refused row; it has to be there all the same.
    for (const auto& sheet : waiting) {
        REQUIRE(sheet.call.client);
        CHECK(book.client(*sheet.call.client)->name == "Somebody");
    }
    CHECK(*waiting[0].call.client == *waiting[1].call.client);
}

TEST_CASE("ImportCalls, AllOrNoneTakesNone")
{
    const test::Folder folder;
    auto book = book::Book::create(folder / "a.gpkg", kNow);
    app::KeyMaker keys{1};
    app::ImportOptions options;
    options.all_or_none = true;
    CHECK_THROWS_AS(app::import_calls(book, batch_with_a_bad_first_row(), kNow, keys, options),
                    Failure);
    CHECK(book.waiting_calls(*parse_day("2026-08-04")).empty());
}

TEST_CASE("WriteSettings, OneBadSettingWritesNone")
{
    const test::Folder folder;
    auto book = book::Book::create(folder / "a.gpkg", kNow);
    app::write_settings(book, {{"region.name", "North"}}, kNow);
    CHECK_THROWS_AS(
        app::write_settings(book, {{"region.name", "South"}, {"units.style", "cubits"}}, kNow),
        Failure);
    CHECK(book.settings().at("region.name") == "North");
    app::write_settings(book, {{"region.name", ""}}, kNow);
    CHECK(book.settings().empty());
}
