/// \file commands.hpp
/// \brief Every sub-command of the program; each is one file beside this one.
///
/// Purpose:  a command adds itself to the parser and runs as CLI11's callback; it parses, calls one
///           use case of planner/app, prints, and holds no logic of its own.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: not applicable.
/// Errors:   commands throw Failure; main turns it into a message and an exit code.
/// Source:   own.
#pragma once

namespace CLI {
class App;
}

namespace nestround::commands {

/// Adds all of the below, in the order in which help lists them.
void add_all(CLI::App& app);

void add_book(CLI::App& app);      ///< book create, check, update
void add_settings(CLI::App& app);  ///< settings import, settings set, settings show
void add_crew(CLI::App& app);      ///< crew import, crew list
void add_call(CLI::App& app);      ///< call add, call import, call list
void add_weather(CLI::App& app);   ///< weather import
void add_rank(CLI::App& app);
void add_morning(CLI::App& app);
void add_density(CLI::App& app);
void add_gis(CLI::App& app);
void add_share(CLI::App& app);
void add_partner(CLI::App& app);  ///< partner import, list, matches, accept, refuse, reopen
void add_hold(CLI::App& app);
void add_season(CLI::App& app);
void add_exposure(CLI::App& app);  ///< daylight, heat and noise
void add_cold(CLI::App& app);      ///< dry ice and cab air
void add_access(CLI::App& app);    ///< how one nest is reached, with a drawing
void add_wasp(CLI::App& app);
void add_stage(CLI::App& app);
void add_heat(CLI::App& app);
void add_yield(CLI::App& app);  ///< yield show, yield backtest
void add_catch(CLI::App& app);  ///< catch import
void add_photo(CLI::App& app);  ///< photo add, list, export
void add_tour(CLI::App& app);   ///< tour solve
void add_taxa(CLI::App& app);   ///< taxa list, taxa show
/// roads, with what add_road_files adds: times, path, reach, detour
void add_roads(CLI::App& app);
void add_road_files(CLI::App& roads);  ///< roads build, info, speeds
void add_places(CLI::App& app);        ///< places build, info
void add_habitat(CLI::App& app);       ///< habitat add, habitat list, habitat import-log
void add_comb(CLI::App& app);          ///< comb add, comb count, comb list, comb end
void add_collection(CLI::App& app);    ///< collection add, collection list
void add_brood(CLI::App& app);         ///< brood plan
void add_lot(CLI::App& app);           ///< lot seal, list, show, label, trace, ...
void add_order(CLI::App& app);         ///< order add, list, status, close
void add_where(CLI::App& app);
void add_desk(CLI::App& app);  ///< the page in the browser

}  // namespace nestround::commands
