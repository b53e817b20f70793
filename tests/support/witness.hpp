/// \file witness.hpp
/// \brief Figures that another program works out from the same request.
#pragma once

#include <fmt/format.h>

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/catch.hpp"
#include "tests/support/shell.hpp"

namespace nestround::testing {

/// Runs a script of tests/published with the request on its standard input and reads the figures
/// that it prints, split by blanks.
inline std::vector<double> ask_witness(const std::string& script, const std::string& request)
{
    const ScratchFolder folder;
    std::ofstream{folder.file("request")} << request;
    const auto said = run_shell(fmt::format("/usr/bin/python3 '{}/tests/published/{}' < '{}'",
                                            NESTROUND_SOURCE_DIR, script, folder.file("request")));
    INFO(said.words);
    REQUIRE(said.code == 0);
    std::istringstream words{said.words};
    std::vector<double> figures;
    for (double figure = 0; words >> figure;) {
        figures.push_back(figure);
    }
    return figures;
}

}  // namespace nestround::testing
