// Can a crew have its morning within three seconds of pressing enter, and an office with a hundred
// thousand nests its list within two? Whole commands, timed from process start to exit; peak
// memory is that of the process.
//
//   bench_commands [DEMO_FOLDER]     (demo-region/out once demo-region/run has been through)
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/clockwork.hpp"

using namespace nestround;

namespace {

struct Cost {
    double seconds = 0;
    double megabytes = 0;
    int code = 0;
};

Cost run(const std::vector<std::string>& words)
{
    std::vector<char*> arguments;
    std::vector<std::string> copy = words;
    copy.insert(copy.begin(), NESTROUND_PROGRAM);
    for (auto& word : copy) {
        arguments.push_back(word.data());
    }
    arguments.push_back(nullptr);
    const auto begun = std::chrono::steady_clock::now();
    std::fflush(stdout);
    const pid_t child = fork();
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout) == nullptr ||
            freopen("/dev/null", "w", stderr) == nullptr) {
            _exit(127);
        }
        execv(arguments[0], arguments.data());
        _exit(127);
    }
    int status = 0;
    rusage usage{};
    wait4(child, &status, 0, &usage);
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count(),
            static_cast<double>(usage.ru_maxrss) / 1024, WEXITSTATUS(status)};
}

void report(const std::string& what, double target, const std::vector<std::string>& words)
{
    Cost best = run(words);
    for (int i = 0; i < 2; ++i) {
        const Cost again = run(words);
        best = again.seconds < best.seconds ? again : best;
    }
    fmt::print("{:<44} {:6.2f} s of {:.0f} s ({:3.0f} %), {:5.0f} MB{}\n", what, best.seconds,
               target, 100 * best.seconds / target, best.megabytes,
               best.code == 0 ? "" : fmt::format("  FAILED with code {}", best.code));
}

/// A book of `count` nests with a waiting call each, scattered over two degrees.
void fill(const std::string& path, int count)
{
    const Instant now = *parse_instant("2026-08-04T06:00:00Z");
    const std::vector<std::string> taxa{"VMAC", "VGER", "DMAC", "DARE", "VCRA", "PFUS", ""};
    Random random{7};
    app::KeyMaker keys{7};
    auto book = book::Book::create(path, now);
    book::Change change{book, now, book::Load::Many};
    for (int i = 0; i < count; ++i) {
        Site site;
        site.id = keys.make<SiteId>(now);
        site.place = {Longitude{random.uniform(-78, -76)}, Latitude{random.uniform(40, 42)}};
        site.label = fmt::format("place {}", i);
        Nest nest;
        nest.id = keys.make<NestId>(now);
        nest.site = site.id;
        nest.season = 2026;
        nest.taxon = taxa[random.below(taxa.size())];
        nest.kind = static_cast<NestKind>(random.below(4));
        nest.height = Metres{random.uniform(0, 9)};
        Call call;
        call.id = keys.make<CallId>(now);
        call.nest = nest.id;
        call.received = *parse_day("2026-08-03") - std::chrono::days{random.below(60)};
        change.insert(site);
        change.insert(nest);
        change.insert(call);
    }
    change.commit();
}

}  // namespace

int main(int argc, char** argv)
{
    const std::string demo =
        argc > 1 ? argv[1] : std::string{NESTROUND_SOURCE_DIR} + "/demo-region/out";
    if (std::filesystem::exists(demo + "/demo.gpkg")) {
        report("morning, demo: 150 calls, 2 crews", 3,
               {"morning", demo + "/demo.gpkg", "--on", "2026-08-04", "--roads",
                demo + "/county.roads"});
        report("the same with map, GPX, GeoJSON, JSON", 3,
               {"morning", demo + "/demo.gpkg", "--on", "2026-08-04", "--roads",
                demo + "/county.roads", "--map", "/tmp/nestround-bench.png", "--gpx",
                "/tmp/nestround-bench.gpx", "--geojson", "/tmp/nestround-bench.geojson", "--json",
                "/tmp/nestround-bench.json"});
        report("roads build, demo county (1 MB .osm.pbf)", 3,
               {"roads", "build", demo + "/county.osm.pbf", "--to", "/tmp/nestround-bench.roads"});
    } else {
        fmt::print("{}: no demo book; run demo-region/run first for the morning's figures\n", demo);
    }
    const auto large = std::filesystem::temp_directory_path() / "nestround-bench-100000.gpkg";
    std::filesystem::remove(large);
    const auto begun = std::chrono::steady_clock::now();
    fill(large.string(), 100000);
    fmt::print("{:<44} {:6.2f} s\n", "filling a book with 100,000 nests",
               std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count());
    report("rank, book of 100,000 nests", 2,
           {"rank", large.string(), "--on", "2026-08-04", "--without-weather", "--limit", "10"});
    std::filesystem::remove(large);
}
