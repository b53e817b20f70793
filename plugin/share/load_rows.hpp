/// \file load_rows.hpp
/// \brief The rows of a share into a GeoPackage that has everything but them.
///
/// Purpose:  GDAL makes the tables, this fills them: a million rows in a fraction of the time that
///           features one by one take, with the index packed at the end.
/// Units:    as the layer's columns say.
/// Range:    a layer without rows, with GDAL's index and count tables; nobody else has the file
///           open. When this throws, the file is of no use.
/// Accuracy: places as they are given; the index rounds outwards.
/// Promise:  the same share gives the same bytes.
/// Errors:   throws Failure (OutputFailed) that names `path`.
/// Source:   OGC 12-128r17, 2.1.3 (geometry) and annex F.3 (R-tree).
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "geocore/nature/taxa_table.hpp"
#include "plugin/share/withhold.hpp"

namespace nestround::share {

/// `draft` is the file, `path` what a person calls it; the columns are those of share_file.cpp.
void load_nests(const std::string& draft, const std::string& path, const Shared& shared,
                const nature::TaxaTable& table);
void load_counts(const std::string& draft, const std::string& path, const Shared& shared,
                 const nature::TaxaTable& table);

/// A photo as it goes into a share; no bytes: it is left out.
struct Picture {
    std::vector<std::uint8_t> jpeg;
    int width = 0;
    int height = 0;
};
using PictureSource = std::function<Picture(const PhotoId&)>;

/// One after another, so that they need not all be in memory; how many are in the file.
std::size_t load_photos(const std::string& draft, const std::string& path, const Shared& shared,
                        const PictureSource& pictures);

}  // namespace nestround::share
