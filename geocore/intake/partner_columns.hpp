/// \file partner_columns.hpp
/// \brief Which columns of a partner's table mean what. Private.
///
/// Purpose:  finds our columns under the names that partners give them, once a file.
/// Units:    none.
/// Range:    Darwin Core terms first, then what our own shares use, then plain words; names are
///           compared without case, blanks, hyphens and underscores.
/// Accuracy: a column whose unit nobody names is not taken.
/// Errors:   Failure{BadUsage} for a mapping that fits no column.
/// Source:   docs/reference/partner.md.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace nestround::intake {

struct ChosenColumns {
    std::map<std::string, std::string> theirs;  ///< our name -> the file's
    std::vector<std::string> unused;
    std::vector<std::string> notes;
};

/// `name_limit`: names are cut to this many letters; 0: they are not.
[[nodiscard]] ChosenColumns choose_columns(const std::vector<std::string>& header,
                                           std::size_t name_limit,
                                           const std::map<std::string, std::string>& mapping,
                                           const std::string& file);

}  // namespace nestround::intake
