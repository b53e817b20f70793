// The transaction of a merge.
#include "geocore/book/merge.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <utility>

#include "geocore/book/chain.hpp"
#include "geocore/book/check_rules.hpp"
#include "geocore/book/contents.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

namespace fs = std::filesystem;

/// Their book as it stands now, with today's schema, in a file of our own: theirs is never written.
class Copy {
public:
    Copy(const fs::path& theirs, const fs::path& ours)
        : path_{fmt::format("{}.merging-{}.gpkg", ours.string(), getpid())}
    {
        remove_with_companions(path_);
        try {
            // Whatever its schema: it is the copy that is brought up to date.
            Connection source{theirs, SQLITE_OPEN_READONLY};
            copy_book(source, path_);
            const auto copy = open_book(path_, false, standard_migrations());
            for (const auto& rest : fs::directory_iterator{folder()}) {
                const auto name = rest.path().filename().string();
                if (name.starts_with(path_.stem().string() + ".schema-")) {
                    copies_.push_back(rest.path());
                }
            }
        } catch (const Failure& failure) {
            clear();
            throw Failure{failure.error().code, failure.error().message, theirs.string()};
        } catch (...) {
            clear();
            throw;
        }
    }
    Copy(const Copy&) = delete;
    Copy& operator=(const Copy&) = delete;
    ~Copy() { clear(); }

    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    [[nodiscard]] fs::path folder() const
    {
        return path_.has_parent_path() ? path_.parent_path() : fs::path{"."};
    }
    void clear() noexcept
    {
        remove_with_companions(path_);
        for (const auto& copy : copies_) {
            remove_with_companions(copy);
        }
    }

    fs::path path_;
    std::vector<fs::path> copies_;
};

/// Our rules hold for rows that are written one by one; here rows come in the order of their
/// tables, and the rules are asked of the whole at the end. The other triggers are off meanwhile
/// too: what they keep is kept by the merge (keep_version, index_anew).
class TriggersOff {
public:
    explicit TriggersOff(Connection& connection) : connection_{connection} { set(0); }
    TriggersOff(const TriggersOff&) = delete;
    TriggersOff& operator=(const TriggersOff&) = delete;
    ~TriggersOff() { set(1); }

private:
    void set(int on)
    {
        sqlite3_db_config(connection_.handle(), SQLITE_DBCONFIG_ENABLE_TRIGGER, on, nullptr);
    }
    Connection& connection_;
};

/// The spatial index of a table that was written to.
void index_anew(Connection& connection, std::string_view table)
{
    connection.execute(fmt::format(
        "DELETE FROM rtree_{0}_geom; INSERT INTO rtree_{0}_geom SELECT fid, ST_MinX(geom), "
        "ST_MaxX(geom), ST_MinY(geom), ST_MaxY(geom) FROM main.{0}",
        table));
}

using Broken = std::map<std::pair<std::string, std::string>, std::size_t>;

/// How often each rule is broken in a table.
Broken broken_in(const CheckReport& report)
{
    Broken out;
    for (const auto& rule : report.broken) {
        ++out[{rule.table, rule.rule}];
    }
    return out;
}

/// A book that is damaged, or in which something sealed was altered, is merged with nothing.
void must_be_sound(Connection& book, const fs::path& name)
{
    const auto refuse = [&](const std::string& words) {
        throw Failure{ErrorCode::RuleBroken,
                      fmt::format("{}; 'nestround book check' tells more: mend it, or go back to a "
                                  "copy, before it is merged",
                                  words),
                      name.string()};
    };
    {
        Query query = book.query("PRAGMA main.quick_check(1)");
        if (const auto answer = query.step() ? query.text() : "no answer"; answer != "ok") {
            refuse("the file is damaged: " + answer);
        }
    }
    if (const auto broken = broken_links(book); !broken.empty()) {
        refuse(fmt::format("the chain of sealed lots does not hold: {}: {}", broken.front().row,
                           broken.front().words));
    }
}

/// Rules that were kept on both sides must be kept by both together.
void must_keep_rules(const CheckReport& report, const fs::path& ours, const fs::path& theirs)
{
    if (report.broken.empty()) {
        return;
    }
    // Seldom: rows that broke a rule before, as dates of a clock that was wrong.
    auto before = broken_in(check(ours));
    for (const auto& [rule, times] : broken_in(check(theirs))) {
        before[rule] += times;
    }
    for (const auto& [rule, times] : broken_in(report)) {
        if (times <= before[rule]) {
            continue;
        }
        const auto first = std::find_if(report.broken.begin(), report.broken.end(),
                                        [&, key = rule](const auto& b) {
                                            return b.table == key.first && b.rule == key.second;
                                        });
        throw Failure{ErrorCode::RuleBroken,
                      fmt::format("together the books break a rule: {}; mend the row in one of "
                                  "them, then merge again",
                                  first->text()),
                      ours.string()};
    }
}

void list_settings(MergeWork& work)
{
    Query query = work.connection.query(
        "SELECT x.key FROM theirs.setting x LEFT JOIN main.setting m ON m.key = x.key WHERE "
        "m.value "
        "IS NOT x.value UNION SELECT m.key FROM main.setting m WHERE m.key NOT IN (SELECT key FROM "
        "theirs.setting) ORDER BY 1");
    while (query.step()) {
        work.report.settings.push_back(query.text());
    }
}

void merge_attached(MergeWork& work)
{
    note_sealed_lots(work);
    find_aliases(work);
    merge_rows(work);
    settle_lot_parts(work);
    take_removals(work);
    merge_lot_lists(work);
    take_history(work);
    refuse_clashing_lots(work);
    merge_chains(work);
    list_settings(work);
}

}  // namespace

MergeReport merge_books(const fs::path& ours, const fs::path& theirs, Instant now,
                        const MergeSettings& settings)
{
    std::error_code ignored;
    if (fs::equivalent(ours, theirs, ignored)) {
        throw Failure{ErrorCode::InvalidInput,
                      "a book is not merged with itself; name the other "
                      "book second",
                      theirs.string()};
    }
    if (settings.look_only) {
        // An older book would be brought up to date by opening it to be written.
        static_cast<void>(open_book(ours, true, standard_migrations()));
    }
    const auto book = open_book(ours, false, standard_migrations());
    if (!fs::is_regular_file(theirs, ignored)) {
        throw Failure{ErrorCode::NotFound, "no such book; mend the name", theirs.string()};
    }
    const Copy copy{theirs, ours};
    must_be_sound(*book, ours);
    must_be_sound(*open_book(copy.path(), true, standard_migrations()), theirs);

    book->query("ATTACH DATABASE ?1 AS theirs").bind(copy.path().string()).run();
    MergeWork work{*book, format_instant(now), settings, {}, {}, {}};
    book->begin();
    try {
        book->execute("PRAGMA defer_foreign_keys = ON");
        {
            const TriggersOff off{*book};
            merge_attached(work);
            for (const auto table : kFeatureTables) {
                if (work.touched.contains(std::string{table})) {
                    index_anew(*book, table);
                }
            }
        }
        write_contents(*book, work.touched, work.now);
        must_keep_rules(check_rows(*book), ours, copy.path());
        if (work.report.changed_anything && !settings.look_only) {
            book->commit();
        } else {
            book->rollback();
        }
    } catch (...) {
        book->rollback();
        throw;
    }
    for (auto& [table, tally] : work.tallies) {
        if (tally.added + tally.changed + tally.removed > 0) {
            work.report.tables.push_back(std::move(tally));
        }
    }
    return std::move(work.report);
}

}  // namespace nestround::book
