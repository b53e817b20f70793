#include "geocore/place/equal_area.hpp"

#include <GeographicLib/AlbersEqualArea.hpp>
#include <GeographicLib/Constants.hpp>

namespace nestround::place {

struct EqualArea::Projection {
    GeographicLib::AlbersEqualArea albers;
    double sign;   // the south is projected as the north's mirror image: the library's way back
                   // from there (release 2.1) ends in the wrong half of the Earth
    double north;  // of the middle, from the library's own origin
};

EqualArea::EqualArea(LonLat middle) : middle_{middle}
{
    const double sign = middle.lat.value() < 0 ? -1 : 1;
    const GeographicLib::AlbersEqualArea albers{GeographicLib::Constants::WGS84_a(),
                                                GeographicLib::Constants::WGS84_f(),
                                                sign * middle.lat.value(), 1};
    double x = 0;
    double y = 0;
    albers.Forward(middle.lon.value(), sign * middle.lat.value(), middle.lon.value(), x, y);
    projection_ = std::make_shared<Projection>(Projection{albers, sign, y});
}

PlanePoint EqualArea::plane(LonLat place) const
{
    PlanePoint point;
    projection_->albers.Forward(middle_.lon.value(), projection_->sign * place.lat.value(),
                                place.lon.value(), point.east, point.north);
    point.north = projection_->sign * (point.north - projection_->north);
    return point;
}

LonLat EqualArea::earth(PlanePoint point) const
{
    double lat = 0;
    double lon = 0;
    projection_->albers.Reverse(middle_.lon.value(), point.east,
                                projection_->sign * point.north + projection_->north, lat, lon);
    return {Longitude{lon}, Latitude{projection_->sign * lat}};
}

}  // namespace nestround::place
