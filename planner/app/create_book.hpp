/// \file create_book.hpp
/// \brief An empty book, and an older one brought up to date.
///
/// Purpose:  `nestround book create` and `nestround book update`.
/// Units:    none.
/// Range:    create refuses to overwrite anything.
/// Promise:  a new book is whole or not there; an older one is copied before it is changed.
/// Errors:   Failure as book.hpp.
/// Source:   own.
#pragma once

#include <filesystem>

#include "geocore/base/calendar.hpp"

namespace nestround::app {

/// What was made: the version of its schema.
int create_book(const std::filesystem::path& path, Instant now);

/// The version of its schema, as it is then.
int update_book(const std::filesystem::path& path);

}  // namespace nestround::app
