// A book of 100,000 sites, nests and calls: writing it, and asking for the waiting calls.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "geocore/book/book.hpp"
#include "geocore/book/check.hpp"

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
    fs::remove_all(folder);
    return report.broken.empty() ? EXIT_SUCCESS : EXIT_FAILURE;
}
