/// \file merge_support.hpp
/// \brief A book and its copy, as two crews have them, and what may be asked of both.
#pragma once

#include <filesystem>
#include <string>

#include "geocore/book/check.hpp"
#include "geocore/book/merge.hpp"
#include "geocore/book/schema.hpp"
#include "tests/geocore/book/book_support.hpp"

namespace nestround::test {

using book::merge_books;
using book::MergeReport;

inline const Instant kLater = at("2026-08-20T18:00:00Z");

/// A book and its copy, as two crews have them in the morning.
struct TwoBooks {
    Folder folder;
    std::string a = folder / "a.gpkg";
    std::string b = folder / "b.gpkg";

    TwoBooks()
    {
        {
            book::Book book = book::Book::create(a, kNow);
            fill(book);
        }
        std::filesystem::copy_file(a, b);
    }
    void edit(const std::string& path, const std::string& table, unsigned n, const std::string& set,
              const char* when) const
    {
        Stranger hand{path};
        hand.run("UPDATE " + table + " SET " + set + ", changed_at = '" + when +
                 ":00.000Z' WHERE id = " + id_text(n));
    }
    MergeReport merge(const std::string& ours, const std::string& theirs,
                      book::MergeSettings settings = {}) const
    {
        return merge_books(ours, theirs, kLater, settings);
    }
};

inline std::string value(const std::string& path, const std::string& sql)
{
    Stranger hand{path};
    return hand.ask(sql);
}

/// All rows of all tables that two merged books should have alike, without the instants of writing.
inline std::string contents(const std::string& path)
{
    Stranger hand{path};
    std::string out;
    for (const auto& table : book::tables_with_key()) {
        std::string columns;
        book::Connection connection{path, SQLITE_OPEN_READONLY};
        for (const auto& column : book::columns_of(connection, table)) {
            if (column != "fid" && column != "created_at" && column != "changed_at") {
                columns += (columns.empty() ? "" : " || '|' || ") + ("quote(" + column + ")");
            }
        }
        out += table + "\n" +
               hand.ask("SELECT " + columns + " || char(10) FROM " + table + " ORDER BY id") + "\n";
    }
    return out;
}

inline std::size_t added(const MergeReport& report, const std::string& table)
{
    for (const auto& tally : report.tables) {
        if (tally.table == table) {
            return tally.added;
        }
    }
    return 0;
}

/// A new nest with its site, call, visit and catch.
inline void enter_nest(const std::string& path, unsigned n, const std::string& source_key = "")
{
    book::Book book = book::Book::open(path);
    book::Change change{book, at("2026-08-10T08:00:00Z")};
    change.insert(some_site(n, 9.6, 47.2));
    change.insert(some_nest(n, n));
    Call call = some_call(n, n, "2026-08-09");
    call.source_key = source_key;
    change.insert(call);
    Visit visit;
    visit.id = key<VisitId>(n);
    visit.nest = key<NestId>(n);
    visit.call = call.id;
    visit.begun = at("2026-08-10T09:00:00Z");
    change.insert(visit);
    CatchRecord row;
    row.id = key<CatchId>(n);
    row.visit = visit.id;
    row.taxon = "VMAC";
    row.mass = Grams{30};
    row.frozen_at = at("2026-08-10T09:30:00Z");
    change.insert(row);
    change.commit();
}

/// A sealed lot that holds the catch of the same number.
inline void seal_lot(const std::string& path, unsigned n, unsigned of_catch,
                     const std::string& code, const char* when = "2026-08-11T08:00:00Z")
{
    book::Book book = book::Book::open(path);
    book::Change change{book, at(when)};
    Lot lot;
    lot.id = key<LotId>(n);
    lot.code = code;
    lot.taxon = "VMAC";
    lot.frozen_at = at("2026-08-10T09:30:00Z");
    lot.mass = Grams{30};
    change.insert(lot);
    LotParent parent;
    parent.id = key<LotParentId>(n);
    parent.lot = lot.id;
    parent.catch_id = key<CatchId>(of_catch);
    change.insert(parent);
    change.seal(lot.id, at(when));
    change.commit();
}

inline void must_be_whole(const std::string& path)
{
    for (const auto& broken : book::check(path).broken) {
        INFO(broken.text());
        CHECK(false);
    }
}

/// The copy of the other book, made for the merge, holds clients: it must be gone.
inline void must_have_no_copy(const Folder& folder)
{
    for (const auto& entry : std::filesystem::directory_iterator{folder / "."}) {
        CHECK(entry.path().filename().string().find("merging") == std::string::npos);
    }
}

}  // namespace nestround::test
