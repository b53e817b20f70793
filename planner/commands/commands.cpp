#include "planner/commands/commands.hpp"

#include <CLI/CLI.hpp>

namespace nestround::commands {

void add_all(CLI::App& app)
{
    add_book(app);
    add_settings(app);
    add_crew(app);
    add_call(app);
    add_weather(app);
    add_roads(app);
    add_places(app);
    add_where(app);
    add_rank(app);
    add_morning(app);
    add_hold(app);
    add_density(app);
    add_gis(app);
    add_share(app);
    add_partner(app);
    add_season(app);
    add_catch(app);
    add_photo(app);
    add_habitat(app);
    add_comb(app);
    add_collection(app);
    add_brood(app);
    add_lot(app);
    add_order(app);
    add_yield(app);
    add_heat(app);
    add_access(app);
    add_exposure(app);
    add_cold(app);
    add_tour(app);
    add_taxa(app);
    add_wasp(app);
    add_stage(app);
    add_desk(app);
}

}  // namespace nestround::commands
