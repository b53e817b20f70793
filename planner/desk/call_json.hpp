/// \file call_json.hpp
/// \brief A call as the page reads and writes it.
///
/// Purpose:  one form of a call for all rooms; what comes in has the same names as what goes out.
/// Units:    in the names.
/// Range:    docs in openapi.json, schema Call.
/// Accuracy: as the records.
/// Errors:   Refusal 422 naming the field.
/// Source:   own. No client and no address unless asked for by name.
#pragma once

#include "geocore/nature/taxa_table.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/rank/ranked_call.hpp"

namespace nestround::desk {

[[nodiscard]] Json call_json(const CallSheet& sheet);
/// With forecast, score and reasons.
[[nodiscard]] Json ranked_json(const rank::RankedCall& call);
/// Name, phone and address: private.
void add_client(Json& into, const book::Book& book, const CallSheet& sheet);

/// Reads what is there into the sheet; the rest stays as it is. Fields of the client go to
/// `client`.
void read_call(Fields& fields, const nature::TaxaTable& taxa, CallSheet& sheet,
               std::optional<Client>& client);

/// The tag of a call as it stands.
[[nodiscard]] std::string tag_of(const book::CallStamp& stamp);

}  // namespace nestround::desk
