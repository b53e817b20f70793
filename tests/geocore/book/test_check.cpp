#include "geocore/book/check.hpp"

#include <algorithm>

#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::check;

namespace {

/// A filled book and a program that first throws our triggers out.
struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    Scene()
    {
        Book book = Book::create(path, kNow);
        fill(book);
    }
    /// Damages the book past all CHECKs, and gives what the check says but for missing triggers.
    std::vector<std::string> after(const std::string& sql, bool drop_triggers = true) const
    {
        {
            Stranger stranger{path};
            stranger.run("PRAGMA ignore_check_constraints = ON");
            if (drop_triggers) {
                const auto names = stranger.ask(
                    "SELECT group_concat('DROP TRIGGER \"' || name || '\"', ';') FROM "
                    "sqlite_master WHERE type = 'trigger'");
                stranger.run(names);
            }
            stranger.run(sql);
        }
        std::vector<std::string> out;
        for (const auto& rule : check(path).broken) {
            if (rule.text().find("trigger") == std::string::npos) {
                out.push_back(rule.text());
            }
        }
        return out;
    }
};

bool says(const std::vector<std::string>& lines, const std::string& row, const std::string& words)
{
    return std::any_of(lines.begin(), lines.end(), [&](const auto& line) {
        return line.find(row) == 0 && line.find(words) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("Check, FindsNothingInAGoodBook")
{
    const Scene scene;
    const auto report = check(scene.path);
    for (const auto& rule : report.broken) {
        UNSCOPED_INFO(rule.text());
    }
    CHECK(report.broken.empty());
    CHECK(report.tables == 35);
    // 3 each of 7 kinds; lot, 2 parents, crew, gear, station, 2 days, setting.
    CHECK(report.rows == 3 * 7 + 9);
}

TEST_CASE("Check, FindsNothingInAnEmptyBook")
{
    const Folder folder;
    {
        const Book book = Book::create(folder / "a.gpkg", kNow);
    }
    CHECK(check(folder / "a.gpkg").broken.empty());
}

TEST_CASE("Check, LeavesTheBookAsItIs")
{
    const Scene scene;
    const auto before = bytes_of(scene.path);
    (void)check(scene.path);
    CHECK(bytes_of(scene.path) == before);
}

TEST_CASE("Check, NamesEachBrokenRuleWithTableAndRow")
{
    const auto second = "fid 2, id " + key<SiteId>(2).text();
    struct Case {
        const char* sql;
        std::string row;
        const char* words;
    };
    const std::vector<Case> cases{
        {"UPDATE nest SET height_m = 999 WHERE fid = 2", "nest, " + second, "150 m"},
        {"UPDATE nest SET site_id = 'nowhere' WHERE fid = 2", "nest, " + second,
         "site_id names no site"},
        {"DELETE FROM visit WHERE fid = 2", "catch, " + second, "visit_id names no visit"},
        {"UPDATE call SET allowed_hours = '08:75-12:00' WHERE fid = 2", "call, " + second,
         "allowed hours"},
        {"UPDATE call SET state = 'lost' WHERE fid = 2", "call, " + second, "the state of a call"},
        {"UPDATE call SET received_on = '2026-02-30' WHERE fid = 2", "call, " + second,
         "the day a call was received"},
        {"UPDATE weather_day SET minimum_c = 30 WHERE fid = 2", "weather_day, fid 2",
         "minimum not above"},
        {"UPDATE catch SET frozen_at = '2026-08-03T07:00:00.000Z' WHERE fid = 2",
         "catch, " + second, "before its visit"},
        {"UPDATE collection SET collected_at = '2026-08-01T07:00:00.000Z' WHERE fid = 2",
         "collection, " + second, "earlier than the visit"},
        {"UPDATE visit SET begun_at = '2026-07-01T00:00:00.000Z' WHERE fid = 2", "visit, " + second,
         "earlier than the call"},
        {"UPDATE visit SET call_id = (SELECT id FROM call WHERE fid = 1) WHERE fid = 2",
         "visit, " + second, "another nest"},
        {"UPDATE nest SET first_seen_on = '2024-06-01' WHERE fid = 2", "nest, " + second,
         "first seen"},
        {"UPDATE nest SET insecticide = 1 WHERE fid = 1", "lot_parent, fid 1", "insecticide"},
        {"UPDATE catch SET taxon = 'VGER' WHERE fid = 1", "lot_parent, fid 1", "one species"},
        {"UPDATE nest SET taxon = 'VGER' WHERE fid = 1", "lot_parent, " + second, "one species"},
        {"UPDATE lot SET sealed_at = '2026-08-03T08:40:00.000Z'", "lot, fid 1", "sealed before"},
        {"UPDATE lot SET sealed_at = '2026-08-04T00:00:00.000Z'; DELETE FROM lot_parent",
         "lot, fid 1", "holds nothing"},
        {"UPDATE site SET geom = x'4750' WHERE fid = 2", "site, " + second,
         "not a GeoPackage geometry"},
        {"UPDATE site SET geom = x'47500001080800000101000000000000000000224000000000008047"
         "40' WHERE fid = 2",
         "site, " + second, "reference system 2056"},
        {"DELETE FROM rtree_site_geom WHERE id = 2", "site, " + second, "does not know this row"},
        {"INSERT INTO rtree_site_geom VALUES (77, 0, 0, 0, 0)", "site, fid 77", "not there"},
        {"UPDATE rtree_site_geom SET minx = 0, maxx = 1 WHERE id = 2", "site, " + second,
         "elsewhere"},
        {"UPDATE gpkg_contents SET max_x = 77 WHERE table_name = 'site'", "gpkg_contents, site",
         "extent"},
        {"UPDATE gpkg_contents SET last_change = 'today' WHERE table_name = 'site'",
         "gpkg_contents, site", "last_change"},
        {"DELETE FROM gpkg_geometry_columns WHERE table_name = 'site'", "gpkg_geometry_columns",
         "missing"},
        {"DROP INDEX nest_by_site", "the index nest_by_site is missing", ""},
        {"DROP TABLE setting", "the table setting is missing", ""},
    };
    for (const auto& [sql, row, words] : cases) {
        CAPTURE(sql);
        const Scene scene;
        const auto lines = scene.after(sql);
        CAPTURE(lines);
        CHECK(says(lines, row, words));
    }
}

TEST_CASE("Check, FindsATriggerThatIsGoneOrAltered")
{
    const Scene scene;
    {
        Stranger stranger{scene.path};
        stranger.run("DROP TRIGGER lot_parent_had_no_insecticide");
        stranger.run(
            "DROP TRIGGER rtree_site_geom_insert; CREATE TRIGGER rtree_site_geom_insert AFTER "
            "INSERT ON site BEGIN SELECT 1; END");
    }
    std::vector<std::string> lines;
    for (const auto& rule : check(scene.path).broken) {
        lines.push_back(rule.text());
    }
    CHECK(lines == std::vector<std::string>{"the trigger lot_parent_had_no_insecticide is missing",
                                            "the trigger rtree_site_geom_insert was altered"});
}

TEST_CASE("Check, FindsDamagedPages")
{
    const Scene scene;
    auto bytes = bytes_of(scene.path);
    // The middle third, page headers and all.
    std::fill(bytes.begin() + static_cast<std::ptrdiff_t>(bytes.size() / 3),
              bytes.begin() + static_cast<std::ptrdiff_t>(2 * bytes.size() / 3), '\x5a');
    const auto path = scene.folder.write("b.gpkg", bytes);
    bool found = false;
    try {
        found = !check(path).broken.empty();
    } catch (const Failure& failure) {
        found = failure.error().code == ErrorCode::BookFailed;
    }
    CHECK(found);
}
