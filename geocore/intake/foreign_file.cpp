#include "geocore/intake/foreign_file.hpp"

#include <cpl_conv.h>
#include <cpl_http.h>
#include <cpl_vsi.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <set>

#include "geocore/base/error.hpp"
#include "geocore/base/sha256.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {

namespace {

constexpr std::array kFormats{"GPKG", "GeoJSON", "ESRI Shapefile", "FlatGeobuf", "LIBKML",
                              "KML",  "GPX"};
constexpr std::array<std::string_view, 7> kEndings{".gpkg", ".geojson", ".json", ".shp",
                                                   ".fgb",  ".kml",     ".gpx"};

[[noreturn]] void refuse(const std::string& file, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), file};
}

std::string ending_of(const std::string& name)
{
    return folded(std::filesystem::path{name}.extension().string());
}

/// Looks through JSON without building it: is it whole, and how many names has it?
class Names final : public nlohmann::json_sax<nlohmann::json> {
public:
    bool null() override { return true; }
    bool boolean(bool /*value*/) override { return true; }
    bool number_integer(number_integer_t /*value*/) override { return true; }
    bool number_unsigned(number_unsigned_t /*value*/) override { return true; }
    bool number_float(number_float_t /*value*/, const string_t& /*text*/) override { return true; }
    bool string(string_t& /*value*/) override { return true; }
    bool binary(binary_t& /*value*/) override { return true; }
    bool start_object(std::size_t /*size*/) override { return true; }
    bool end_object() override { return true; }
    bool start_array(std::size_t /*size*/) override { return true; }
    bool end_array() override { return true; }
    bool key(string_t& name) override
    {
        names.insert(name);
        return names.size() <= kMostForeignColumns;
    }
    bool parse_error(std::size_t byte, const std::string& /*token*/,
                     const nlohmann::detail::exception& /*error*/) override
    {
        broken_at = byte;
        return false;
    }
    std::set<std::string> names;
    std::size_t broken_at = 0;
};

/// GDAL builds a layer of a million columns from JSON before anyone can count them.
void look_through_json(const std::string& vsi_name, const std::string& shown)
{
    const auto bytes = bytes_of_foreign(vsi_name, kMostJsonBytes, shown);
    Names names;
    if (nlohmann::json::sax_parse(bytes, &names)) {
        return;
    }
    if (names.broken_at > 0) {
        refuse(shown, fmt::format("is no whole JSON (it breaks at byte {} of {}); export it again",
                                  names.broken_at, bytes.size()));
    }
    refuse(shown, fmt::format("has more than {} columns; ask for those that tell of nests",
                              kMostForeignColumns));
}

bool begins_like_json(const std::string& vsi_name)
{
    auto* file = VSIFOpenL(vsi_name.c_str(), "rb");
    if (file == nullptr) {
        return false;
    }
    std::array<char, 1024> head{};
    const auto got = VSIFReadL(head.data(), 1, head.size(), file);
    VSIFCloseL(file);
    std::string_view text{head.data(), got};
    if (text.starts_with("\xef\xbb\xbf")) {
        text.remove_prefix(3);
    }
    const auto first = text.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos && (text[first] == '{' || text[first] == '[');
}

void look_inside(ForeignFile& file, std::size_t packed)
{
    auto* folder = VSIOpenDir(file.name.c_str(), -1, nullptr);
    if (folder == nullptr) {
        refuse(file.shown, "cannot be unpacked; it is damaged or half written: fetch it again");
    }
    std::size_t total = 0;
    std::size_t count = 0;
    bool too_many = false;
    while (const auto* entry = VSIGetNextDirEntry(folder)) {
        if (VSI_ISDIR(entry->nMode)) {
            continue;
        }
        total += static_cast<std::size_t>(entry->nSize);
        if (++count > kMostPackedFiles) {
            too_many = true;
            break;
        }
        file.inside.emplace_back(entry->pszName);
    }
    VSICloseDir(folder);
    if (too_many) {
        refuse(file.shown,
               fmt::format("packs more than {} files; pack the one layer alone", kMostPackedFiles));
    }
    if (file.inside.empty()) {
        refuse(file.shown, "packs no file; it is damaged or half written: fetch it again");
    }
    if (total > kMostForeignBytes || total > packed * kMostUnpacking) {
        refuse(file.shown,
               fmt::format("unpacks to {} times its size ({} MB); that is no layer of nests",
                           total / std::max<std::size_t>(packed, 1), total / 1'000'000));
    }
}

/// The one layer that a packed file holds.
std::string packed_layer(const ForeignFile& file)
{
    std::vector<std::string> found;
    for (const auto& name : file.inside) {
        if (std::find(kEndings.begin(), kEndings.end(), ending_of(name)) != kEndings.end()) {
            found.push_back(name);
        }
    }
    if (found.size() != 1) {
        refuse(file.shown, found.empty()
                               ? "packs no layer that can be read here; unpack it and name the file"
                               : fmt::format("packs {} layers ({}); unpack it and name one",
                                             found.size(), shown(joined(found))));
    }
    return file.in(found.front());
}

std::string first_word(GDALDataset& data, const std::string& sql)
{
    auto* rows = data.ExecuteSQL(sql.c_str(), nullptr, nullptr);
    std::string word;
    if (rows != nullptr) {
        rows->ResetReading();
        if (const OGRFeatureUniquePtr row{rows->GetNextFeature()}) {
            word = row->GetFieldAsString(0);
        }
        data.ReleaseResultSet(rows);
    }
    return word;
}

std::string quoted(const std::string& words)
{
    std::string out = "'";
    for (const char letter : words) {
        out += letter;
        out += letter == '\'' ? "'" : "";
    }
    return out + "'";
}

/// A view can compute without end, and a virtual table can read elsewhere.
void require_plain_table(GDALDataset& data, const std::string& layer, const std::string& shown_file)
{
    const auto made = first_word(
        data, "SELECT type || ' ' || upper(substr(sql, 1, 20)) FROM sqlite_master WHERE name = " +
                  quoted(layer));
    if (!made.starts_with("table ") || made.find("VIRTUAL") != std::string::npos) {
        refuse(shown_file, fmt::format("layer '{}' is a view and no table of its own; save it as a "
                                       "layer of its own",
                                       shown(layer)));
    }
}

CPLHTTPResult* fetch_nothing(const char* url, CSLConstList /*options*/,
                             GDALProgressFunc /*progress*/, void* /*progress_data*/,
                             CPLHTTPFetchWriteFunc /*write*/, void* /*write_data*/, void* user)
{
    static_cast<StayHome*>(user)->note(url == nullptr ? "" : url);
    auto* none = static_cast<CPLHTTPResult*>(CPLCalloc(1, sizeof(CPLHTTPResult)));
    none->nStatus = 1;
    none->pszErrBuf = CPLStrdup("nothing is fetched for a partner's file");
    return none;
}

}  // namespace

bool ForeignFile::holds(const std::string& file) const
{
    return std::find(inside.begin(), inside.end(), file) != inside.end();
}

std::string ForeignFile::in(const std::string& file) const { return name + "/" + file; }

ForeignFile look_at(const std::filesystem::path& path)
{
    require_file(path);
    ForeignFile file;
    file.shown = path.string();
    std::error_code ignored;
    const auto size = static_cast<std::size_t>(std::filesystem::file_size(path, ignored));
    if (size > kMostForeignBytes) {
        refuse(file.shown, "is larger than 1 GiB; ask for the land of your crew alone");
    }
    const auto absolute = std::filesystem::absolute(path).string();
    const auto ending = ending_of(file.shown);
    if (ending == ".kmz") {
        refuse(file.shown, "is packed KML; unpack it and name the .kml file");
    }
    file.name = absolute;
    if (ending == ".zip") {
        const GdalQuiet quiet;
        file.name = "/vsizip/{" + absolute + "}";
        look_inside(file, size);
    }
    return file;
}

std::string digest_of(const std::filesystem::path& file)
{
    std::string all;
    const auto add = [&](const std::filesystem::path& path) {
        all += sha256(bytes_of_foreign(std::filesystem::absolute(path).string(), kMostForeignBytes,
                                       path.string()));
    };
    add(file);
    if (ending_of(file.string()) != ".shp") {
        return all;
    }
    for (const auto* ending : {".dbf", ".prj", ".cpg"}) {
        auto beside = file;
        beside.replace_extension(ending);
        std::error_code ignored;
        if (std::filesystem::is_regular_file(beside, ignored)) {
            add(beside);
        }
    }
    return sha256(all);
}

std::string bytes_of_foreign(const std::string& vsi_name, std::size_t most,
                             const std::string& shown)
{
    const GdalQuiet quiet;
    GByte* bytes = nullptr;
    vsi_l_offset size = 0;
    const bool done = VSIIngestFile(nullptr, vsi_name.c_str(), &bytes, &size,
                                    static_cast<GIntBig>(most)) != FALSE;
    std::string out;
    if (done && bytes != nullptr) {
        out.assign(reinterpret_cast<const char*>(bytes), size);  // NOLINT
    }
    VSIFree(bytes);
    if (!done || quiet.failed()) {
        refuse(shown,
               fmt::format("cannot be read to its end ({}); fetch it again, or ask for less",
                           quiet.text(fmt::format("damaged, or over {} MB", most / 1'000'000))));
    }
    return out;
}

StayHome::StayHome() { CPLHTTPPushFetchCallback(fetch_nothing, this); }
StayHome::~StayHome() { CPLHTTPPopFetchCallback(); }
void StayHome::note(const std::string& place) { asked_ = asked_.empty() ? place : asked_; }

void DropForeign::operator()(GDALDataset* data) const { GDALClose(data); }

ForeignData open_foreign(const ForeignFile& file)
{
    const GdalQuiet quiet;
    const StayHome home;
    const auto name = file.packed() ? packed_layer(file) : file.name;
    if (begins_like_json(name)) {
        look_through_json(name, file.shown);
    }
    std::vector<const char*> formats{kFormats.begin(), kFormats.end()};
    formats.push_back(nullptr);
    ForeignData data{GDALDataset::Open(
        name.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, formats.data())};
    if (!home.asked().empty()) {
        refuse(file.shown, fmt::format("points to another place ({}); nothing was fetched: ask for "
                                       "a file that holds all of it",
                                       shown(home.asked())));
    }
    if (!data) {
        refuse(file.shown,
               "cannot be read as a layer (" + quiet.text("unknown format") +
                   "); ask for GeoPackage, GeoJSON, a shapefile, FlatGeobuf, KML or CSV");
    }
    const std::string_view format = data->GetDriverName();
    if (format == "GPKG" &&
        first_word(*data, "SELECT 1 FROM sqlite_master WHERE name = 'app_meta'") == "1") {
        refuse(file.shown,
               "is a whole book with its clients and no layer to be taken in; ask for what "
               "'nestround share' writes");
    }
    return data;
}

OGRLayer& foreign_layer(GDALDataset& data, const std::string& wanted, const std::string& shown_file)
{
    std::vector<std::string> names;
    std::vector<OGRLayer*> with_places;
    OGRLayer* picked = nullptr;
    for (auto* layer : data.GetLayers()) {
        if (names.size() > kMostForeignColumns) {
            refuse(shown_file,
                   fmt::format("has more than {} layers; ask for one", kMostForeignColumns));
        }
        if (!wanted.empty() && layer->GetName() == wanted) {
            picked = layer;
        }
        names.emplace_back(shown(layer->GetName()));
        if (layer->GetGeomType() != wkbNone) {
            with_places.push_back(layer);
        }
    }
    if (picked == nullptr) {
        if (names.empty()) {
            refuse(shown_file, "holds no layer; ask for it again");
        }
        if (!wanted.empty()) {
            throw Failure{
                ErrorCode::NotFound,
                fmt::format(
                    "has no layer '{}'; it has {}", shown(wanted),
                    joined({names.begin(),
                            names.begin() + std::min<long>(40, static_cast<long>(names.size()))})),
                shown_file};
        }
        if (std::string_view{data.GetDriverName()} == "GPX") {
            // This format always has five layers.
            std::erase_if(with_places,
                          [](OGRLayer* layer) { return layer->GetFeatureCount(TRUE) == 0; });
        }
        if (with_places.size() != 1) {
            refuse(shown_file,
                   with_places.empty()
                       ? std::string{"has no layer with places"}
                       : fmt::format("has {} layers with places; name one by --layer: {}",
                                     with_places.size(), joined(names)));
        }
        picked = with_places.front();
    }
    const std::string_view format = data.GetDriverName();
    if (format == "GPKG") {
        require_plain_table(data, picked->GetName(), shown_file);
    }
    const auto columns = static_cast<std::size_t>(picked->GetLayerDefn()->GetFieldCount());
    if (columns > kMostForeignColumns) {
        refuse(shown_file, fmt::format("layer '{}' has {} columns, more than {}; ask for those "
                                       "that tell of nests",
                                       shown(picked->GetName()), columns, kMostForeignColumns));
    }
    return *picked;
}

}  // namespace nestround::intake
