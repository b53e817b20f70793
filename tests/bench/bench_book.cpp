// A book of 100,000 sites, nests and calls: writing it, asking for the waiting calls, and merging
// it with another crew's.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "geocore/book/book.hpp"
#include "geocore/book/check.hpp"
#include "geocore/book/merge.hpp"

using namespace nestround;

namespace {

class Lap {
public:
    double operator()()
    {
        const auto now = std::chrono::steady_clock::now();
        const std::chrono::duration<double> taken = now - from_;
        from_ = now;
        return taken.count();
    }

private:
    std::chrono::steady_clock::time_point from_ = std::chrono::steady_clock::now();
};

double fill(book::Book& book, int count, book::Load load, Random& random, int first)
{
    const Instant now{std::chrono::sys_days{std::chrono::year{2026} / 8 / 4}};
    Lap lap;
    book::Change change{book, now, load};
    for (int n = first; n < first + count; ++n) {
        Site site;
        site.id = SiteId{Uuid::make(now, random)};
        site.place = {Longitude{random.uniform(9, 10)}, Latitude{random.uniform(47, 48)}};
        change.insert(site);
        Nest nest;
        nest.id = NestId{Uuid::make(now, random)};
        nest.site = site.id;
        nest.season = 2026;
        nest.height = Metres{random.uniform(0, 9)};
        change.insert(nest);
        Call call;
        call.id = CallId{Uuid::make(now, random)};
        call.nest = nest.id;
        call.received = std::chrono::floor<std::chrono::days>(now) -
                        std::chrono::days{static_cast<int>(random.below(60))};
        call.source_key = fmt::format("bench:{}", n);
        change.insert(call);
    }
    change.commit();
    return lap();
}

/// Another note for every hundredth call that still waits.
void edit(book::Book& book, const std::vector<CallSheet>& calls, std::size_t first, Instant now)
{
    book::Change change{book, now};
    for (std::size_t i = first; i < calls.size(); i += 100) {
        Call call = calls[i].call;
        call.note = fmt::format("note {}", i);
        change.update(call);
    }
    change.commit();
}

/// Two crews' copies: each with a thousand calls changed and two thousand new ones.
void merge(const book::Book& book, const std::filesystem::path& folder, Day today, Random& random)
{
    namespace fs = std::filesystem;
    const auto calls = book.waiting_calls(today);
    const auto b = folder / "b.gpkg";
    const auto c = folder / "c.gpkg";
    Lap lap;
    fs::copy_file(book.path(), b);
    const double copied = lap();
    fs::copy_file(book.path(), c);
    const Instant now{today};
    for (const auto& path : {b, c}) {
        book::Book copy = book::Book::open(path);
        edit(copy, calls, path == b ? 0 : 37, now + std::chrono::hours{path == b ? 1 : 2});
        fill(copy, 2000, book::Load::Few, random, path == b ? 200000 : 300000);
    }
    lap();
    auto report = book::merge_books(b, c, now + std::chrono::hours{9}, {});
    const double first = lap();
    std::size_t rows = 0;
    for (const auto& tally : report.tables) {
        rows += tally.added + tally.changed;
    }
    report = book::merge_books(b, c, now + std::chrono::hours{10}, {});
    const double second = lap();
    fmt::print(
        "merge: {:.2f} s, {} rows taken, {} conflicts; again {:.2f} s, {}; ratio to copying the "
        "file {:.0f}\n",
        first, rows, report.conflicts.size(), second,
        report.changed_anything ? "CHANGED" : "nothing changed", first / copied);
}

}  // namespace

int main()
{
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / "nestround-bench-book";
    fs::remove_all(folder);
    fs::create_directories(folder);
    Random random{1};
    const Day today{std::chrono::year{2026} / 8 / 4};
    constexpr int kRows = 50000;
    book::Book book = book::Book::create(folder / "a.gpkg", Instant{today});
    const double many = fill(book, kRows, book::Load::Many, random, 0);
    const double few = fill(book, kRows, book::Load::Few, random, kRows);
    fmt::print("insert, indexed at the end: {:.1f} s for {} sites, nests and calls each\n", many,
               kRows);
    fmt::print("insert, indexed row by row: {:.1f} s, ratio {:.2f}\n", few, few / many);
    Lap lap;
    const auto calls = book.waiting_calls(today);
    fmt::print("waiting_calls: {:.2f} s for {}\n", lap(), calls.size());
    const auto report = book::check(book.path());
    fmt::print("check: {:.2f} s for {} rows, {} broken\n", lap(), report.rows,
               report.broken.size());
    merge(book, folder, today, random);
    fs::remove_all(folder);
    return report.broken.empty() ? EXIT_SUCCESS : EXIT_FAILURE;
}
