// demo_county [--seed N] [FOLDER]: writes the invented county's files.
#include <fmt/core.h>

#include <charconv>
#include <exception>
#include <filesystem>
#include <string>

#include "demo-region/county.hpp"
#include "demo-region/osm_file.hpp"
#include "demo-region/tables.hpp"
#include "geocore/base/error.hpp"

namespace {

using namespace nestround;

struct Wishes {
    std::uint64_t seed = 20260804;
    std::string folder = "demo-region/out";
};

Wishes read(int argc, char** argv)
{
    Wishes wishes;
    for (int i = 1; i < argc; ++i) {
        const std::string word{argv[i]};
        if (word == "--seed" && i + 1 < argc) {
            const std::string number{argv[++i]};
            const auto end = number.data() + number.size();
            if (std::from_chars(number.data(), end, wishes.seed).ptr != end || number.empty()) {
                throw Failure{ErrorCode::BadUsage, "--seed needs a whole number, not " + number};
            }
        } else if (word.empty() || word[0] == '-') {
            throw Failure{ErrorCode::BadUsage,
                          "unknown word " + word + "; use: demo_county [--seed N] [FOLDER]"};
        } else {
            wishes.folder = word;
        }
    }
    return wishes;
}

}  // namespace

int main(int argc, char** argv)
try {
    const Wishes wishes = read(argc, argv);
    std::filesystem::create_directories(wishes.folder);
    fmt::print(stderr, "drawing the county of seed {} ...\n", wishes.seed);
    const auto county = demo::build_county(wishes.seed);
    const auto counts = demo::write_osm(*county, wishes.folder + "/county.osm.pbf");
    demo::write_tables(*county, wishes.folder);
    fmt::print(stderr,
               "{} County (invented): {} road nodes, {} of them junctions or ends, {} ways, {:.0f} "
               "km, {} pieces of bridge\n",
               county->name, counts.nodes, counts.junctions, counts.ways, counts.kilometres,
               counts.bridges);
    return 0;
} catch (const nestround::Failure& failure) {
    fmt::print(stderr, "demo_county: {}\n", failure.what());
    return static_cast<int>(failure.error().code);
} catch (const std::exception& problem) {
    fmt::print(stderr, "demo_county: {}\n", problem.what());
    return static_cast<int>(nestround::ErrorCode::OutputFailed);
}
