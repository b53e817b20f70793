// Sunrise, sunset and twilight against Debian's python3-ephem, which computes them from VSOP87.
#include <cmath>
#include <sstream>

#include "geocore/base/calendar.hpp"
#include "geocore/place/sun.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;

TEST_CASE("Published, SunAgainstAnIndependentLibraryOverPlacesAndYears")
{
    const nestround::testing::ScratchFolder folder;
    const auto script = folder.file("sun.py");
    const auto answer = folder.file("sun.txt");
    {
        std::ofstream out{script};
        out << R"(
import ephem, datetime
for lat, lon in [(41.2, -77.1), (47.1, 9.5), (-40.4, 175.6), (60.2, 24.9), (33.8, -84.4), (0.0, 0.0), (-33.9, 18.4)]:
    for date in ['2021-03-20', '2023-06-21', '2026-05-01', '2026-08-04', '2026-09-23', '2026-11-15', '2030-01-02']:
        noon = datetime.datetime.fromisoformat(date) + datetime.timedelta(hours=12 - lon / 15)
        for horizon in ['-0.833', '-6', '-12']:
            o = ephem.Observer()
            o.lat, o.lon, o.elevation, o.pressure = str(lat), str(lon), 0, 0
            o.horizon = horizon
            o.date = noon
            sun = ephem.Sun()
            try:
                rise = o.previous_rising(sun, use_center=True).datetime()
                down = o.next_setting(sun, use_center=True).datetime()
            except (ephem.AlwaysUpError, ephem.NeverUpError):
                print(lat, lon, date, horizon, 'none none')
                continue
            epoch = datetime.datetime(1970, 1, 1)
            print(lat, lon, date, horizon, (rise - epoch).total_seconds(), (down - epoch).total_seconds())
)";
    }
    const std::string command = "/usr/bin/python3 '" + script + "' > '" + answer + "' 2>&1";
    REQUIRE(std::system(command.c_str()) == 0);
    std::ifstream in{answer};
    std::string line;
    int compared = 0;
    double worst = 0;
    while (std::getline(in, line)) {
        std::istringstream words{line};
        double lat = 0;
        double lon = 0;
        double horizon = 0;
        std::string date;
        std::string rise;
        std::string set;
        REQUIRE(words >> lat >> lon >> date >> horizon >> rise >> set);
        const double zenith = horizon > -1 ? place::kSunriseZenith : 90 - horizon;
        const auto span =
            place::sun_span({Longitude{lon}, Latitude{lat}}, *parse_day(date), zenith);
        CAPTURE(line);
        if (rise == "none") {
            CHECK((!span.begins || !span.ends));
            continue;
        }
        REQUIRE(span.begins);
        REQUIRE(span.ends);
        const double off_rise = std::abs(
            static_cast<double>(span.begins->time_since_epoch().count()) - std::stod(rise));
        const double off_set =
            std::abs(static_cast<double>(span.ends->time_since_epoch().count()) - std::stod(set));
        worst = std::max({worst, off_rise, off_set});
        CHECK(off_rise < 20);
        CHECK(off_set < 20);
        ++compared;
    }
    CHECK(compared >= 140);
    CAPTURE(worst);
    SUCCEED();
}
