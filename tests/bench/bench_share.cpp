// A million nests shared: each tier and form as a person types it, in a process of its own, beside
// a plain copy of the same number of points by ogr2ogr in the same run.
#include "tests/bench/million_nests.hpp"

using namespace nestround;
using namespace nestround::bench;

int main(int count, char** words)
{
    namespace fs = std::filesystem;
    const auto here = fs::absolute(count > 0 ? words[0] : ".").parent_path();
    const auto book = million_book(here);
    const auto folder = here / "bench_share";
    fs::remove_all(folder);
    fs::create_directories(folder);
    bool good = true;
    const auto print = [&](const std::string& what, const Taken& taken, const fs::path& file,
                           double beside) {
        good = good && taken.code == 0;
        fmt::print("{:<26} {:6.1f} s wall {:6.1f} s processor {:6.0f} MB memory {:6.1f} MB file",
                   what, taken.wall, taken.processor, taken.memory,
                   taken.code == 0 ? double(fs::file_size(file)) / 1e6 : 0.0);
        if (beside > 0) {
            fmt::print("  ratio {:.2f}", taken.processor / beside);
        }
        fmt::print("{}\n", taken.code == 0 ? "" : "  FAILED");
    };
    fmt::print("{} nests; limits 20 s and 500 MB; ratio of processor time to the plain copy\n",
               kNests);
    const auto share = [&](const std::string& tier, const std::string& form) {
        const auto file = folder / (tier + (form == "dwca" ? ".zip" : ".gpkg"));
        const auto taken = run_apart({NESTROUND_PROGRAM, "share", book, "--with", tier, "--to",
                                      file.string(), "--as", form, "--on", "2026-08-04"});
        return std::pair{taken, file};
    };
    const auto [exact, points] = share("exact", "geopackage");
    const auto copied = folder / "copied.gpkg";
    const auto copy = run_apart({"ogr2ogr", "-f", "GPKG", copied.string(), points.string()});
    print("ogr2ogr, points copied", copy, copied, 0);
    print("exact, geopackage", exact, points, copy.processor);
    for (const char* form : {"geopackage", "dwca"}) {
        for (const char* tier : {"exact", "grid", "cells"}) {
            if (std::string{tier} + form != "exactgeopackage") {
                const auto [taken, file] = share(tier, form);
                print(fmt::format("{}, {}", tier, form), taken, file, copy.processor);
            }
        }
    }
    fs::remove_all(folder);
    return good ? 0 : 1;
}
