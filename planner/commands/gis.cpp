// nestround gis
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {

namespace {

/// Beside the program after a build; in lib/nestround when installed.
std::filesystem::path driver_folder()
{
    std::error_code error;
    const auto program = std::filesystem::read_symlink("/proc/self/exe", error);
    if (error) {
        throw Failure{ErrorCode::NotFound, "cannot tell where this program lies", "/proc/self/exe"};
    }
    for (const auto& folder :
         {program.parent_path() / "gdalplugins",
          program.parent_path().parent_path() / "lib" / "nestround" / "gdalplugins"}) {
        if (std::filesystem::exists(folder / "gdal_Nestround.so", error)) {
            return folder;
        }
    }
    throw Failure{ErrorCode::NotFound,
                  "no gdal_Nestround.so beside the program or in its lib/nestround/gdalplugins; "
                  "build the target nestround_gdal",
                  program.string()};
}

void where(bool bare)
{
    const auto folder = driver_folder().string();
    if (bare) {
        std::cout << folder << '\n';
        return;
    }
    std::cout << fmt::format(
        "The driver lies in\n  {0}\nLet GDAL and every program on it look there:\n"
        "  export GDAL_DRIVER_PATH={0}:$(gdal-config --plugindir 2>/dev/null)\n"
        "Then, for one:\n  ogrinfo NESTROUND:book.gpkg\n"
        "It was built for one minor version of GDAL and says so when another loads it.\n",
        folder);
}

}  // namespace

void add_gis(CLI::App& app)
{
    auto* command = app.add_subcommand("gis", "Live layers of the book in GDAL and any GIS on it");
    command->require_subcommand(1);
    const auto bare = std::make_shared<bool>(false);
    auto* find = command->add_subcommand("where", "The folder of the driver, and how it is found");
    find->add_flag("--bare", *bare, "The folder alone");
    find->callback([bare] { where(*bare); });
}

}  // namespace nestround::commands
