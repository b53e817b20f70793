/// \file cargo.hpp
/// \brief The command on live comb, registered with the one on dry ice.
///
/// Purpose:  `nestround cargo`.
/// Units:    as typed.
/// Range:    none.
/// Accuracy: not applicable.
/// Errors:   Failure.
/// Source:   own.
#pragma once

namespace CLI {
class App;
}

namespace nestround::commands {

void add_cargo(CLI::App& app);

}  // namespace nestround::commands
