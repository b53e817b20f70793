/// \file share_file.hpp
/// \brief A share as a GeoPackage that stands on its own.
///
/// Purpose:  a partner opens it in any GIS, reads what each column means, who gave it and what was
///           held back, and sees it drawn.
/// Units:    WGS 84 degrees; metres and grams as the columns say.
/// Range:    names in .gpkg that are not there yet.
/// Accuracy: as withhold.hpp.
/// Promise:  whole or not at all; made from the share alone, never a copy of the book, so that no
///           page of it has ever held anything else; the same share and statement give the same
///           bytes.
/// Errors:   throws Failure: BadUsage for another ending, OutputFailed.
/// Source:   OGC 12-128r17 (GeoPackage 1.3) with its extensions for R-trees, metadata and schema,
///           written by GDAL; the metadata are Dublin Core 1.1 in XML.
#pragma once

#include <cstddef>
#include <string>

#include "plugin/share/load_rows.hpp"
#include "plugin/share/statement.hpp"

namespace nestround::share {

/// Throws what the writer would throw for the name alone.
void check_share_name(const std::string& path);
/// `pictures` is asked for each photo of the share, in their order; gives how many are in the file.
std::size_t write_share(const Shared& shared, const Statement& statement,
                        const nature::TaxaTable& table, const std::string& path,
                        const PictureSource& pictures = {});

}  // namespace nestround::share
