#include "demo-region/tables.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <fstream>

#include "geocore/base/error.hpp"

namespace nestround::demo {
namespace {

void write(const std::string& path, const std::string& text)
{
    std::ofstream out{path, std::ios::binary};
    out << text;
    out.close();
    if (!out) {
        throw Failure{ErrorCode::OutputFailed,
                      "cannot be written; choose a folder that can, with room on its disk", path};
    }
}

/// A house near `wanted`, for a depot on a road.
Vec depot_near(const County& county, Vec wanted)
{
    return std::min_element(county.houses.begin(), county.houses.end(),
                            [&](const House& a, const House& b) {
                                return distance(a.at, wanted) < distance(b.at, wanted);
                            })
        ->at;
}

}  // namespace

std::string crews_csv(const County& county)
{
    // One in the county town, one in the town farthest from it.
    const Place& first = county.places.front();
    const Place* second = &first;
    for (const Place& place : county.places) {
        if (place.kind == PlaceKind::Town &&
            distance(place.at, first.at) > distance(second->at, first.at)) {
            second = &place;
        }
    }
    const LonLat a = on_earth(depot_near(county, first.at));
    const LonLat b = on_earth(depot_near(county, second->at));
    return fmt::format(
        "crew,lon,lat,shift,people\n"
        "River crew,{:.6f},{:.6f},07:00-16:30,2\n"
        "Hill crew,{:.6f},{:.6f},07:30-16:00,2\n",
        a.lon.value(), a.lat.value(), b.lon.value(), b.lat.value());
}

std::string gear_csv()
{
    return "crew,kind,label,length_m,load_rating_kg,mass_kg,count\n"
           "River crew,pole,carbon pole,7,,3.2,1\n"
           "River crew,ladder,extension ladder 24 ft,7.3,136,17,1\n"
           "River crew,ladder,extension ladder 36 ft,11.0,136,32,1\n"
           "River crew,ladder,step ladder 6 ft,1.8,136,8,1\n"
           "River crew,vacuum,vacuum with catch box,,,11,2\n"
           "River crew,cold_box,dry ice box 40 l,,,9,1\n"
           "River crew,comb_box,comb box,,,2,4\n"
           "River crew,suit,full suit,,,3,3\n"
           "Hill crew,pole,telescopic pole,5.5,,2.6,1\n"
           "Hill crew,ladder,extension ladder 20 ft,6.1,113,14,1\n"
           "Hill crew,vacuum,vacuum with catch box,,,11,1\n"
           "Hill crew,cold_box,dry ice box 25 l,,,7,1\n"
           "Hill crew,comb_box,comb box,,,2,3\n"
           "Hill crew,suit,full suit,,,3,2\n";
}

std::string settings_toml(const County& county)
{
    return fmt::format(
        "# The invented county's settings; every place and name in it is made up.\n"
        "[region]\n"
        "name = \"{} County (invented)\"\n"
        "time_zone = \"America/New_York\"\n"
        "\n"
        "[roads]\n"
        "file = \"county.roads\"\n"
        "\n"
        "[places]\n"
        "file = \"county.places\"\n"
        "\n"
        "[units]\n"
        "style = \"us\"\n"
        "\n"
        "[day]\n"
        "lunch = \"11:30-13:00\"\n",
        county.name);
}

void write_tables(const County& county, const std::string& folder)
{
    write(folder + "/calls.csv", calls_csv(county));
    const auto past = past_season(county);
    write(folder + "/past_calls.csv", past.calls);
    write(folder + "/past_catches.csv", past.catches);
    write(folder + "/weather.csv", weather_csv(county));
    write(folder + "/crews.csv", crews_csv(county));
    write(folder + "/gear.csv", gear_csv());
    write(folder + "/settings.toml", settings_toml(county));
}

}  // namespace nestround::demo
