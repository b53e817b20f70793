// The command line: one sub-command a file, one place where errors become exit codes.
#include <CLI/CLI.hpp>
#include <exception>
#include <iostream>

#include "geocore/base/error.hpp"
#include "planner/commands/commands.hpp"

int main(int argc, char** argv)
{
    CLI::App app{"Nestround: plan the day of a crew that takes social-wasp nests alive",
                 "nestround"};
    app.require_subcommand(1);
    app.set_version_flag("--version", NESTROUND_VERSION);
    nestround::commands::add_all(app);
    try {
        app.parse(argc, argv);
        return 0;
    } catch (const CLI::ParseError& problem) {
        const int code = app.exit(problem);
        return code == 0 ? 0 : static_cast<int>(nestround::ErrorCode::BadUsage);
    } catch (const nestround::Failure& failure) {
        std::cerr << "nestround: " << failure.what() << '\n';
        return static_cast<int>(failure.error().code);
    } catch (const std::exception& problem) {
        std::cerr << "nestround: internal error: " << problem.what()
                  << " (please report this with the command you typed)\n";
        return static_cast<int>(nestround::ErrorCode::Internal);
    }
}
