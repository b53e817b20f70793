#include "geocore/intake/roads_layer.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <filesystem>
#include <functional>
#include <optional>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "geocore/intake/roads_gdal.hpp"
#include "geocore/roads/speed_table.hpp"

namespace nestround::intake {
namespace {

std::string lower(std::string_view text)
{
    std::string out;
    for (const char c : text) {
        if (c != ' ') {
            out.push_back(static_cast<char>(std::tolower(static_cast<unsigned char>(c))));
        }
    }
    return out;
}

struct OneWay {
    bool forward;
    bool backward;
};

std::optional<OneWay> parse_one_way(std::string_view value)
{
    const auto word = lower(value);
    for (const std::string_view w : {"", "no", "0", "false", "b", "n", "both"}) {
        if (word == w) {
            return OneWay{true, true};
        }
    }
    for (const std::string_view w : {"yes", "1", "true", "f", "ft", "forward"}) {
        if (word == w) {
            return OneWay{true, false};
        }
    }
    for (const std::string_view w : {"-1", "t", "tf", "reverse", "backward"}) {
        if (word == w) {
            return OneWay{false, true};
        }
    }
    return std::nullopt;
}

bool holds_lines(OGRLayer& layer)
{
    switch (wkbFlatten(layer.GetGeomType())) {
        case wkbLineString:
        case wkbMultiLineString:
        case wkbCircularString:
        case wkbCompoundCurve:
        case wkbCurve:
        case wkbMultiCurve:
            return true;
        default:
            return false;
    }
}

OGRLayer& layer_of(GDALDataset& dataset, const std::string& name, const std::string& path)
{
    std::string known;
    OGRLayer* first = nullptr;
    for (auto* layer : dataset.GetLayers()) {
        known.append(known.empty() ? "" : ", ").append(layer->GetName());
        const bool fits = name.empty() ? holds_lines(*layer) : name == layer->GetName();
        if (first == nullptr && fits) {
            first = layer;
        }
    }
    if (first == nullptr && name.empty() && dataset.GetLayerCount() > 0) {
        // A format that does not tell its geometry: try.
        first = dataset.GetLayer(0);
        const auto kind = wkbFlatten(first->GetGeomType());
        if (kind != wkbUnknown && kind != wkbGeometryCollection) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("holds no lines; its layers are {}", known), path};
        }
    }
    if (first == nullptr) {
        throw Failure{
            ErrorCode::NotFound,
            fmt::format("has no layer '{}'; it has {}", name, known.empty() ? "none" : known),
            path};
    }
    return *first;
}

struct PlaceHash {
    std::size_t operator()(const std::pair<roads::RoadPoint, int>& place) const
    {
        const auto lon = static_cast<std::uint32_t>(place.first.lon_e7 + place.second);
        const auto lat = static_cast<std::uint32_t>(place.first.lat_e7);
        return std::hash<std::uint64_t>{}((static_cast<std::uint64_t>(lon) << 32U) | lat);
    }
};

class LayerReader {
public:
    LayerReader(OGRLayer& layer, const RoadColumns& columns, const std::string& path)
        : layer_{layer},
          path_{path},
          to_degrees_{layer, columns.crs, false, path},
          speed_{column_of(layer, columns.speed, path)},
          class_{column_of(layer, columns.road_class, path)},
          one_way_{column_of(layer, columns.one_way, path)},
          name_{columns.name.empty() ? layer.GetLayerDefn()->GetFieldIndex("name")
                                     : column_of(layer, columns.name, path)},
          level_{column_of(layer, columns.level, path)}
    {
        raw_.source = std::filesystem::path{path}.filename().string();
        refuse_degrees_called_metres();
    }

    roads::RawRoads run(const Progress& progress)
    {
        const auto count = std::max<GIntBig>(layer_.GetFeatureCount(), 1);
        layer_.ResetReading();
        for (auto& feature : layer_) {
            ++raw_.ways_seen;
            read(*feature);
            if (progress && raw_.ways_seen % 4096 == 0) {
                progress("reading lines", std::min(1.0, static_cast<double>(raw_.ways_seen) /
                                                            static_cast<double>(count)));
            }
        }
        return std::move(raw_);
    }

private:
    /// A whole layer that lies within 180 by 90 metres of its system's origin is in degrees.
    void refuse_degrees_called_metres() const
    {
        const auto* system = layer_.GetSpatialRef();
        OGREnvelope box;
        if (system != nullptr && system->IsProjected() != 0 &&
            layer_.GetExtent(&box, TRUE) == OGRERR_NONE && box.MinX >= -180 && box.MaxX <= 180 &&
            box.MinY >= -90 && box.MaxY <= 90) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("its coordinates, {:g},{:g} to {:g},{:g}, look like degrees, "
                                      "but it says they are metres in '{}'; mend its coordinate "
                                      "system (ogr2ogr -a_srs EPSG:4326 ...)",
                                      box.MinX, box.MinY, box.MaxX, box.MaxY, system->GetName()),
                          path_};
        }
    }

    static std::string example(OGRFeature& feature)
    {
        return fmt::format("feature {}", feature.GetFID());
    }

    std::string_view value_of(OGRFeature& feature, int column) const
    {
        return column >= 0 && feature.IsFieldSetAndNotNull(column) != 0
                   ? std::string_view{feature.GetFieldAsString(column)}
                   : std::string_view{};
    }

    void left_out(std::string_view reason, OGRFeature& feature)
    {
        roads::count_left_out(raw_.left_out, reason, example(feature));
    }

    void read(OGRFeature& feature)
    {
        const auto* geometry = feature.GetGeometryRef();
        if (geometry == nullptr || geometry->IsEmpty() != 0) {
            left_out("row without a line", feature);
            return;
        }
        // Arcs become chords; others are copied as they are.
        const std::unique_ptr<OGRGeometry> linear{geometry->getLinearGeometry()};
        const auto kind = wkbFlatten(linear->getGeometryType());
        if (kind == wkbLineString) {
            add(*linear->toLineString(), feature);
        } else if (kind == wkbMultiLineString) {
            for (const auto* part : *linear->toMultiLineString()) {
                add(*part, feature);
            }
        } else {
            left_out("row with something else than a line", feature);
        }
    }

    void add(const OGRLineString& line, OGRFeature& feature)
    {
        roads::RawWay way;
        way.id = feature.GetFID();
        way.road = attributes_of(feature);
        way.drawn = true;
        way.level = level_of(feature);
        for (int i = 0; i < line.getNumPoints(); ++i) {
            const auto at = to_degrees_(line.getX(i), line.getY(i));
            if (!is_on_earth(at)) {
                throw Failure{ErrorCode::InvalidInput,
                              fmt::format("{} has a vertex {:g},{:g} that is not on Earth; is the "
                                          "layer's coordinate system right?",
                                          example(feature), line.getX(i), line.getY(i)),
                              path_};
            }
            way.nodes.push_back(vertex_at(roads::road_point(at), way.level));
        }
        raw_.ways.push_back(std::move(way));
    }

    /// A number, or yes for what stands above the ground.
    int level_of(OGRFeature& feature)
    {
        const auto word = lower(value_of(feature, level_));
        for (const std::string_view w : {"yes", "true", "bridge", "viaduct", "t", "y"}) {
            if (word == w) {
                return 1;
            }
        }
        for (const std::string_view w : {"", "no", "false", "f", "n"}) {
            if (word == w) {
                return 0;
            }
        }
        int level = 0;
        const auto [end, problem] = std::from_chars(word.data(), word.data() + word.size(), level);
        const std::string_view rest{end, static_cast<std::size_t>(word.data() + word.size() - end)};
        if (problem != std::errc{} || rest.find_first_not_of(".0") != std::string_view::npos ||
            level < -100 || level > 100) {
            left_out("level not understood, taken as the ground", feature);
            return 0;
        }
        return level;
    }

    std::int64_t vertex_at(roads::RoadPoint point, int level)
    {
        const auto [entry, is_new] = vertices_.try_emplace(
            std::pair{point, level}, static_cast<std::int64_t>(raw_.nodes.size()));
        if (is_new) {
            raw_.nodes.push_back({entry->second, point, false});
        }
        return entry->second;
    }

    roads::RoadAttributes attributes_of(OGRFeature& feature)
    {
        roads::RoadAttributes road;
        if (const auto word = value_of(feature, class_); !word.empty()) {
            if (const auto known = roads::road_class(lower(word))) {
                road.road_class = *known;
            } else {
                left_out("class not known, taken as unclassified", feature);
            }
        }
        double speed = roads::class_speed(road.road_class).usual_kmh;
        if (const auto text = value_of(feature, speed_); !text.empty()) {
            const auto given = roads::parse_speed_limit(text);
            if (given && *given) {
                speed = **given;
            } else {
                left_out("speed not above zero or not a speed, class's own taken", feature);
            }
        }
        speed = std::clamp(speed, 1.0, roads::kTopSpeed);
        road.forward_kmh = road.backward_kmh = speed;
        if (const auto way = parse_one_way(value_of(feature, one_way_))) {
            road.forward_open = way->forward;
            road.backward_open = way->backward;
        } else {
            left_out("one-way not understood, taken as both ways", feature);
        }
        road.name = std::string{value_of(feature, name_)};
        return road;
    }

    OGRLayer& layer_;
    const std::string& path_;
    ToDegrees to_degrees_;
    int speed_;
    int class_;
    int one_way_;
    int name_;
    int level_;
    roads::RawRoads raw_;
    std::unordered_map<std::pair<roads::RoadPoint, int>, std::int64_t, PlaceHash> vertices_;
};

}  // namespace

roads::RawRoads read_layer_roads(const std::string& path, const RoadColumns& columns,
                                 const Progress& progress)
{
    const auto dataset = open_vector(path, {});
    const GdalQuiet quiet;
    auto raw = LayerReader{layer_of(*dataset, columns.layer, path), columns, path}.run(progress);
    if (raw.ways.empty()) {
        throw Failure{ErrorCode::InvalidInput, "holds no lines", path};
    }
    return raw;
}

}  // namespace nestround::intake
