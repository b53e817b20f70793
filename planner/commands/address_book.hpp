/// \file address_book.hpp
/// \brief What a command finds addresses by.
///
/// Purpose:  taking a call, importing calls and `where` look in the same file of places.
/// Units:    none.
/// Range:    the file named on the command line, else the one in the book's settings if it is
/// there;
///           a file that is only set may not be built yet, one that is typed must be there.
/// Accuracy: not applicable.
/// Errors:   Failure: as PlaceFile.
/// Source:   own.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "geocore/book/book.hpp"
#include "geocore/gazetteer/place_file.hpp"
#include "planner/app/find_place.hpp"
#include "planner/app/preferences.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

/// What addresses are found by: the file of places named or set and there, and the first depot.
struct AddressBook {
    AddressBook(const book::Book& book, const app::Preferences& preferences,
                const std::string& option)
    {
        const auto path = places_path(book, preferences, option);
        if (!path.empty() && (!option.empty() || std::filesystem::exists(path))) {
            file.emplace(path);
            sources.places = &*file;
        }
        const auto crews = book.crews();
        if (!crews.empty()) {
            sources.near = crews.front().depot;
        }
    }
    AddressBook(const AddressBook&) = delete;
    AddressBook& operator=(const AddressBook&) = delete;

    std::optional<gazetteer::PlaceFile> file;
    app::PlaceSources sources;
};

}  // namespace nestround::commands
