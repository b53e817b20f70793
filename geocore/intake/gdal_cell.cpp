#include "geocore/intake/gdal_cell.hpp"

#include <fmt/format.h>

#include "geocore/intake/file_text.hpp"

namespace nestround::intake {

std::string cell_text(const OGRFeature& feature, int field)
{
    if (!feature.IsFieldSetAndNotNull(field)) {
        return {};
    }
    auto& row = const_cast<OGRFeature&>(feature);  // NOLINT: GDAL's reading is not const
    switch (feature.GetFieldDefnRef(field)->GetType()) {
        case OFTDate:
        case OFTDateTime: {
            int year = 0;
            int month = 0;
            int day = 0;
            int hour = 0;
            int minute = 0;
            float second = 0;
            int zone = 0;
            row.GetFieldAsDateTime(field, &year, &month, &day, &hour, &minute, &second, &zone);
            return fmt::format("{:04}-{:02}-{:02}", year, month, day);
        }
        case OFTReal:
            return fmt::format("{}", feature.GetFieldAsDouble(field));
        default: {
            const char* raw = row.GetFieldAsString(field);
            std::string text = raw == nullptr ? "" : raw;
            return is_utf8(text) ? text : utf8_from_windows_1252(text);
        }
    }
}

}  // namespace nestround::intake
