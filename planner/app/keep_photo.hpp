/// \file keep_photo.hpp
/// \brief Use case: a photo into the book, and out of it again when asked for by name.
///
/// Purpose:  what the desk and `nestround photo` write.
/// Units:    as the records.
/// Range:    pictures as geocore/intake/photo_file.hpp; with a key made where it was taken, a photo
///           is there once however often it comes.
/// Accuracy: place and time as the camera wrote them.
/// Errors:   Failure: InvalidInput for what is no picture, NotFound for the call, RuleBroken for a
///           key that another photo has; the book is then as it was.
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "geocore/book/book.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct PhotoEntry {
    std::optional<PhotoId> id;   ///< empty: a fresh one
    std::optional<CallId> call;  ///< and with it the nest
    std::string who;
    std::string note;
    std::string zone = "UTC";  ///< of a camera that tells no offset
};

struct PhotoKept {
    Photo photo;
    bool known = false;  ///< it was there already, and nothing was written
};

[[nodiscard]] PhotoKept keep_photo(book::Book& book, std::span<const std::uint8_t> picture,
                                   const PhotoEntry& entry, const Deed& deed, Instant now,
                                   KeyMaker& keys);

/// A photo by its key or the last four or more characters of it.
[[nodiscard]] Photo find_photo(const book::Book& book, const std::string& key);

}  // namespace nestround::app
