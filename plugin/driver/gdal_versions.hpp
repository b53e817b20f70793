/// \file gdal_versions.hpp
/// \brief What GDAL calls by another name in another version.
///
/// Purpose:  one place for the differences between GDAL 3.6 and later ones.
/// Units:    none.
/// Range:    GDAL 3.6 and later.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   GDAL's migration guide: 3.11 (extent no longer virtual under its old name), 3.12
///           (looking at a layer is const).
#pragma once

#include <gdal_version.h>

#if GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 12, 0)
#define NESTROUND_GDAL_CONST const
#else
#define NESTROUND_GDAL_CONST
#endif
#if GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 11, 0)
#define NESTROUND_GDAL_EXTENT_BY_RFC_107 1
#else
#define NESTROUND_GDAL_EXTENT_BY_RFC_107 0
#endif
