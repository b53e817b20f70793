/// \file assets.hpp
/// \brief The page's files, compiled into the program.
///
/// Purpose:  one binary; nothing is read from the disk, so no path leads anywhere else.
/// Units:    bytes.
/// Range:    files whose names carry a hash may be kept for ever, the others are asked for again.
/// Accuracy: not applicable.
/// Errors:   an unknown path gives nothing.
/// Source:   made by planner/desk/EmbedPage.cmake from web/dist.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "planner/desk/message.hpp"

namespace nestround::desk {

struct Asset {
    std::string_view path;  ///< "/assets/index-1a2b.js"
    std::string_view type;
    std::string_view hash;  ///< SHA-256 of what is held
    std::span<const char> bytes;
    bool packed = false;  ///< gzip
    bool for_ever = false;
};

/// In the order of their paths.
[[nodiscard]] std::span<const Asset> page_assets();
/// Whether the page was built in; else a plain one says how to have it.
[[nodiscard]] bool has_page();

/// The file at `request.path`, "/" being index.html with the session's token put in; nothing when
/// there is none.
[[nodiscard]] std::optional<Answer> asset(const Request& request, const std::string& token);

}  // namespace nestround::desk
