/// \file pairing_page.hpp
/// \brief The page on which a device of the local network types its code.
///
/// Purpose:  GET shows the form, POST gives the device its cookie; works without a script.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: not applicable.
/// Errors:   403 with the form again for a wrong code, 429 while locked.
/// Source:   own.
#pragma once

#include "planner/desk/message.hpp"
#include "planner/desk/session.hpp"

namespace nestround::desk {

/// The code typed is in the query, as "code".
[[nodiscard]] Answer pairing_page(Pairing& pairing, const Request& request);

}  // namespace nestround::desk
