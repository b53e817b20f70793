/// \file style.hpp
/// \brief How shared nests look, once, as an OGC style (SLD 1.1 with SE 1.1) and as a QGIS style.
///
/// Purpose:  the file looks sensible where it is opened; one list of classes feeds both forms.
/// Units:    pixels and millimetres of the screen.
/// Range:    the layers nests (points by genus) and nest_counts (squares by count).
/// Accuracy: the same colours and shapes in both forms.
/// Errors:   none.
/// Source:   OGC 05-078r4 (SLD 1.1), OGC 05-077r4 (SE 1.1); the table layer_styles as QGIS reads
///           it. Colours differ in lightness, so that they survive photocopying.
#pragma once

#include <string>

namespace nestround::share {

[[nodiscard]] std::string nests_sld();
[[nodiscard]] std::string nests_qml();
[[nodiscard]] std::string counts_sld();
[[nodiscard]] std::string counts_qml();

}  // namespace nestround::share
