/// \file deeds.hpp
/// \brief Who changed which rows, and how the last change of a person is taken back. Private.
///
/// Purpose:  a change that names its doer keeps what stood before each row it writes.
/// Units:    none; a row is kept as text, a line a column: name, a space, a letter for the form of
///           the value (n, i, r, t, b) and the value, so that it reads back exactly.
/// Range:    rows of tables with a key, written through Row<Record>.
/// Promise:  undoing writes only where the rows still stand as the deed left them.
/// Errors:   Failure: NotFound when there is nothing to undo; RuleBroken when it was overtaken, is
///           final, or when other rows rest on what it made.
/// Source:   own.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/book/connection.hpp"
#include "geocore/records/field_work.hpp"

namespace nestround::book {

class DeedWriter {
public:
    DeedWriter(Connection& connection, Deed deed) : connection_{connection}, deed_{std::move(deed)}
    {
    }

    /// Called before a row is updated, and after one is inserted.
    void will_update(std::string_view table, std::string_view columns, const std::string& id);
    void has_inserted(std::string_view table, std::string_view columns, const std::string& id);
    void make_final() { deed_.final = true; }
    /// Before the commit.
    void write(const std::string& now);

private:
    struct Kept {
        std::string table;
        std::string columns;
        std::string id;
        std::optional<std::string> stood;
    };
    [[nodiscard]] bool knows(std::string_view table, const std::string& id) const;

    Connection& connection_;
    Deed deed_;
    std::vector<Kept> rows_;
};

/// The tables that were written to.
struct Undone {
    Deed deed;
    std::set<std::string> tables;
};
[[nodiscard]] Undone undo_last(Connection& connection, const std::string& who,
                               const std::string& now);

/// The open or final deed of a person.
[[nodiscard]] std::optional<Deed> last_deed_of(Connection& connection, const std::string& who);

}  // namespace nestround::book
