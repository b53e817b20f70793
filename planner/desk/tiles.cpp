#include "planner/desk/tiles.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <protozero/pbf_writer.hpp>
#include <utility>
#include <vector>

#include "geocore/roads/map_lines.hpp"

namespace nestround::desk {
namespace {

using roads::RoadPoint;

constexpr int kSteps = 4096;
constexpr int kBuffer = 64;  // steps beyond the edge, so that thick lines do not break there
constexpr double kMostLatitude = 85.051128779806604;

// Numbers of the specification.
enum class Tile : protozero::pbf_tag_type { Layers = 3 };
enum class Layer : protozero::pbf_tag_type {
    Name = 1,
    Features = 2,
    Keys = 3,
    Values = 4,
    Extent = 5,
    Version = 15
};
enum class Feature : protozero::pbf_tag_type { Tags = 2, Kind = 3, Geometry = 4 };
constexpr protozero::pbf_tag_type kTextValue = 1;
constexpr std::uint32_t kLineString = 2;
constexpr std::uint32_t kMoveTo = 1;
constexpr std::uint32_t kLineTo = 2;

struct Step {
    std::int32_t x = 0;
    std::int32_t y = 0;

    friend bool operator==(const Step&, const Step&) = default;
};

class Projection {
public:
    explicit Projection(TileKey key) : scale_{std::ldexp(1.0, key.zoom)}, key_{key} {}

    [[nodiscard]] Step operator()(RoadPoint point) const
    {
        const double lat =
            std::clamp(point.lat_e7 / 1e7, -kMostLatitude, kMostLatitude) * std::numbers::pi / 180;
        const double x = (point.lon_e7 / 1e7 + 180) / 360;
        const double y = (1 - std::asinh(std::tan(lat)) / std::numbers::pi) / 2;
        return {static_cast<std::int32_t>(std::lround((x * scale_ - key_.x) * kSteps)),
                static_cast<std::int32_t>(std::lround((y * scale_ - key_.y) * kSteps))};
    }
    /// The tile with its buffer, in degrees.
    [[nodiscard]] roads::RoadBox box() const
    {
        constexpr double kMargin = static_cast<double>(kBuffer) / kSteps;
        const auto corner = [&](double x, double y) {
            const double lon = std::clamp(x / scale_ * 360 - 180, -180.0, 180.0);
            const double lat = std::atan(std::sinh(std::numbers::pi *
                                                   (1 - 2 * std::clamp(y / scale_, 0.0, 1.0)))) *
                               180 / std::numbers::pi;
            return roads::road_point({Longitude{lon}, Latitude{lat}});
        };
        return {corner(key_.x - kMargin, key_.y + 1 + kMargin),
                corner(key_.x + 1 + kMargin, key_.y - kMargin)};
    }

private:
    double scale_;
    TileKey key_;
};

/// Values that features share, by their numbers.
class Dictionary {
public:
    std::uint32_t number(std::string_view text)
    {
        const auto [at, fresh] = numbers_.try_emplace(std::string{text}, texts_.size());
        if (fresh) {
            texts_.emplace_back(text);
        }
        return static_cast<std::uint32_t>(at->second);
    }
    [[nodiscard]] const std::vector<std::string>& texts() const { return texts_; }

private:
    std::map<std::string, std::size_t, std::less<>> numbers_;
    std::vector<std::string> texts_;
};

class LayerWriter {
public:
    explicit LayerWriter(TileKey key) : to_{key}
    {
        layer_.add_uint32(tag(Layer::Version), 2);
        layer_.add_string(tag(Layer::Name), "roads");
    }

    [[nodiscard]] roads::RoadBox box() const { return to_.box(); }

    void add(std::span<const RoadPoint> line, roads::RoadClass kind, std::string_view name)
    {
        steps_.clear();
        for (const RoadPoint point : line) {
            const Step step = to_(point);
            if (steps_.empty() || !(steps_.back() == step)) {
                steps_.push_back(step);
            }
        }
        if (steps_.size() < 2) {
            return;  // shorter than a step
        }
        geometry_.clear();
        Step last;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            if (i == 0) {
                geometry_.push_back(kMoveTo | (1U << 3U));
            } else if (i == 1) {
                geometry_.push_back(kLineTo |
                                    (static_cast<std::uint32_t>(steps_.size() - 1) << 3U));
            }
            geometry_.push_back(protozero::encode_zigzag32(steps_[i].x - last.x));
            geometry_.push_back(protozero::encode_zigzag32(steps_[i].y - last.y));
            last = steps_[i];
        }
        protozero::pbf_writer feature{layer_, tag(Layer::Features)};
        std::vector<std::uint32_t> tags{0, values_.number(roads::text(kind))};
        if (!name.empty()) {
            tags.push_back(1);
            tags.push_back(values_.number(name));
        }
        feature.add_packed_uint32(tag(Feature::Tags), tags.begin(), tags.end());
        feature.add_enum(tag(Feature::Kind), kLineString);
        feature.add_packed_uint32(tag(Feature::Geometry), geometry_.begin(), geometry_.end());
        any_ = true;
    }

    [[nodiscard]] std::string finish()
    {
        if (!any_) {
            return {};
        }
        layer_.add_string(tag(Layer::Keys), "class");
        layer_.add_string(tag(Layer::Keys), "name");
        for (const auto& text : values_.texts()) {
            protozero::pbf_writer value{layer_, tag(Layer::Values)};
            value.add_string(kTextValue, text);
        }
        layer_.add_uint32(tag(Layer::Extent), kSteps);
        std::string tile;
        protozero::pbf_writer writer{tile};
        writer.add_message(tag(Tile::Layers), bytes_);
        return tile;
    }

private:
    template <class Name>
    static constexpr protozero::pbf_tag_type tag(Name name)
    {
        return static_cast<protozero::pbf_tag_type>(name);
    }

    Projection to_;
    std::string bytes_;
    protozero::pbf_writer layer_{bytes_};
    Dictionary values_;
    std::vector<Step> steps_;
    std::vector<std::uint32_t> geometry_;
    bool any_ = false;
};

}  // namespace

bool is_tile(TileKey key)
{
    return key.zoom >= 0 && key.zoom <= kFinestTile && key.x >= 0 && key.y >= 0 &&
           key.x < (1 << key.zoom) && key.y < (1 << key.zoom);
}

std::string road_tile(const roads::RoadNetwork& network, TileKey key)
{
    LayerWriter layer{key};
    const auto box = layer.box();
    if (key.zoom < kNamedFrom) {
        // One step coarser than the scale allows: a dense town in one tile would stop the page.
        const int scale = std::max(0, key.zoom - 1);
        for (const auto& line : roads::lines_in(network, box, scale)) {
            layer.add(line.line, line.road_class, {});
        }
    } else {
        for (const std::uint32_t edge : network.edges_within(box)) {
            layer.add(network.line(edge), network.edge(edge).road_class, network.name(edge));
        }
    }
    return layer.finish();
}

std::shared_ptr<const std::string> TileCache::road_tile(const roads::RoadNetwork& network,
                                                        TileKey key)
{
    {
        const std::lock_guard lock{mutex_};
        if (const auto found = tiles_.find(key); found != tiles_.end()) {
            order_.splice(order_.begin(), order_, found->second.place);
            return found->second.tile;
        }
    }
    // Two that ask at once may both draw it; neither waits for a tile of another.
    auto tile = std::make_shared<const std::string>(desk::road_tile(network, key));
    const std::lock_guard lock{mutex_};
    if (tiles_.count(key) == 0) {
        order_.push_front(key);
        tiles_.emplace(key, Held{tile, order_.begin()});
        if (tiles_.size() > kKept) {
            tiles_.erase(order_.back());
            order_.pop_back();
        }
    }
    return tile;
}

}  // namespace nestround::desk
