/// \file make_share.hpp
/// \brief Use case: what a partner of the book is given.
///
/// Purpose:  `nestround share BOOK --with PARTNER --to FILE`.
/// Units:    as withhold.hpp.
/// Range:    the book is read, never written.
/// Accuracy: as withhold.hpp.
/// Errors:   Failure: NotFound naming the partners that there are, InvalidInput for a partner
///           without a tier, NotFound for species that the table does not know.
/// Source:   own.
#pragma once

#include <optional>
#include <string>

#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "plugin/share/statement.hpp"

namespace nestround::share {

struct ShareWishes {
    std::string partner;
    std::optional<int> first_season;
    std::optional<int> last_season;
    Day on{};  ///< nests that were reported by then
};

struct Share {
    Shared shared;
    Statement statement;
};

[[nodiscard]] Share make_share(const book::Book& book, const app::Preferences& preferences,
                               const nature::TaxaTable& table, const ShareWishes& wishes);

}  // namespace nestround::share
