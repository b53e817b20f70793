/// \file one_moment.hpp
/// \brief Several readings that must fit each other. Private to this room.
///
/// Purpose:  a reading transaction around statements that are put together.
/// Units:    none.
/// Range:    within a change, or within another of its kind, it is that one's moment.
/// Promise:  what another connection commits meanwhile is not seen; nothing is written.
/// Errors:   as connection.hpp.
/// Source:   SQLite, "Isolation In SQLite".
#pragma once

#include "geocore/book/connection.hpp"

namespace nestround::book {

/// What all statements of a pass see is of one moment, whoever writes meanwhile.
class OneMoment {
public:
    explicit OneMoment(Connection& connection)
        : connection_{connection}, ours_{sqlite3_get_autocommit(connection.handle()) != 0}
    {
        if (ours_) {
            connection_.execute("BEGIN");
        }
    }
    ~OneMoment()
    {
        if (ours_) {
            connection_.rollback();  // nothing was written
        }
    }
    OneMoment(const OneMoment&) = delete;
    OneMoment& operator=(const OneMoment&) = delete;

private:
    Connection& connection_;
    bool ours_;
};

}  // namespace nestround::book
