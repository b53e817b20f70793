#include "demo-region/county.hpp"

namespace nestround::demo {

County::County(std::uint64_t the_seed)
    : seed{the_seed},
      random{the_seed},
      names{the_seed ^ 0x6e616d65U},
      name{names.place()},
      river_name{names.place() + " River"},
      network{draw_river(random)}
{
}

std::unique_ptr<County> build_county(std::uint64_t seed)
{
    auto county = std::make_unique<County>(seed);
    lay_motorway(*county);
    settle(*county);
    lay_main_roads(*county);
    lay_town_streets(*county);
    lay_ferry(*county);
    lay_interchanges(*county);
    grow_farms(*county);
    county->network.cut_crossings();
    make_roundabouts(*county);
    drop_loose_pieces(*county);
    set_barriers(*county);
    name_streets(*county);
    find_houses(*county);
    return county;
}

}  // namespace nestround::demo
