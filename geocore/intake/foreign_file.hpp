/// \file foreign_file.hpp
/// \brief Opens a layer that somebody else made, without going anywhere that the file points to.
///
/// Purpose:  what partners send is opened by a short list of formats that are plain files; nothing
/// is
///           fetched, no other file is opened but those that belong to the format.
/// Units:    bytes.
/// Range:    GeoPackage, GeoJSON, shapefile, FlatGeobuf, KML, GPX; one of them in a .zip. Limits
///           stand below.
/// Accuracy: not applicable.
/// Errors:   Failure that names the file: NotFound, InvalidInput (foreign format, half written, too
///           large, a packed file that grows beyond sense, a view or a whole book in place of a
///           layer, a link to another place).
/// Source:   GDAL vector drivers; VSI for packed files.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

class GDALDataset;
class OGRLayer;

namespace nestround::intake {

inline constexpr std::size_t kMostForeignBytes = std::size_t{1} << 30U;
inline constexpr std::size_t kMostForeignColumns = 2000;
inline constexpr std::size_t kMostForeignRows = 1'000'000;
inline constexpr std::size_t kMostPackedFiles = 1000;
inline constexpr std::size_t kMostUnpacking = 200;  ///< times its packed size
inline constexpr std::size_t kMostJsonBytes = std::size_t{256} << 20U;

/// What a packed file holds, or the file itself.
struct ForeignFile {
    std::string shown;                ///< for messages
    std::string name;                 ///< as VSI opens it
    std::vector<std::string> inside;  ///< names in a .zip; empty when it is none
    [[nodiscard]] bool packed() const { return !inside.empty(); }
    [[nodiscard]] bool holds(const std::string& file) const;
    /// One of them, for VSI.
    [[nodiscard]] std::string in(const std::string& file) const;
};

/// Looks at size and packing only.
[[nodiscard]] ForeignFile look_at(const std::filesystem::path& file);

/// SHA-256 of the file and of those beside it that belong to it (a shapefile's).
[[nodiscard]] std::string digest_of(const std::filesystem::path& file);

/// The bytes of one of VSI's files.
[[nodiscard]] std::string bytes_of_foreign(const std::string& vsi_name, std::size_t most,
                                           const std::string& shown);

/// While it lives, whatever GDAL would fetch is refused and noted.
class StayHome {
public:
    StayHome();
    ~StayHome();
    StayHome(const StayHome&) = delete;
    StayHome& operator=(const StayHome&) = delete;
    /// The first place that was asked for; empty when none was.
    [[nodiscard]] const std::string& asked() const { return asked_; }
    void note(const std::string& place);

private:
    std::string asked_;
};

struct DropForeign {
    void operator()(GDALDataset* data) const;
};
using ForeignData = std::unique_ptr<GDALDataset, DropForeign>;

/// A dataset of the listed formats.
[[nodiscard]] ForeignData open_foreign(const ForeignFile& file);
/// The layer named, or the only one with places; a table, not a view.
[[nodiscard]] OGRLayer& foreign_layer(GDALDataset& data, const std::string& wanted,
                                      const std::string& shown);

}  // namespace nestround::intake
