#include "planner/app/import_calls.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/nature/season.hpp"

namespace nestround::app {

namespace {

/// Moves rows that no road comes near to the refused ones.
void refuse_off_road(intake::CallBatch& batch, const roads::Snapper& snapper)
{
    std::vector<intake::CallRow> kept;
    for (auto& row : batch.rows) {
        const auto stop = snapper.snap(row.sheet.site.place);
        if (stop) {
            kept.push_back(std::move(row));
        } else {
            batch.refused.push_back(
                {row.row, "lon, lat", stop.error().message,
                 "is it in the water, outside the road file, or are lon and lat swapped?"});
        }
    }
    batch.rows = std::move(kept);
    std::sort(batch.refused.begin(), batch.refused.end(),
              [](const auto& a, const auto& b) { return a.row < b.row; });
}

/// One row a person within a file, however many nests they report.
class ClientList {
public:
    ClientId key_of(const Client& client, book::Change& change, Instant now, KeyMaker& keys)
    {
        const auto [at, is_new] = known_.try_emplace({client.name, client.phone}, ClientId{});
        if (is_new) {
            newest_ = at->first;
            Client row = client;
            row.id = at->second = keys.make<ClientId>(now);
            change.insert(row);
        }
        return at->second;
    }

    /// A client written with a row that was taken back is not in the book.
    void forget_new()
    {
        if (newest_) {
            known_.erase(*newest_);
        }
        newest_.reset();
    }
    void keep_new() { newest_.reset(); }

private:
    using Person = std::pair<std::string, std::string>;

    std::map<Person, ClientId> known_;
    std::optional<Person> newest_;
};

void write_row(const intake::CallRow& row, book::Change& change, ClientList& clients, Instant now,
               KeyMaker& keys)
{
    CallSheet sheet = row.sheet;
    sheet.site.id = keys.make<SiteId>(now);
    sheet.nest.id = keys.make<NestId>(now);
    sheet.nest.site = sheet.site.id;
    if (sheet.nest.season == 0) {
        sheet.nest.season = nature::season_of(sheet.call.received, sheet.site.place.lat);
    }
    sheet.call.id = keys.make<CallId>(now);
    sheet.call.nest = sheet.nest.id;
    if (row.client) {
        sheet.call.client = clients.key_of(*row.client, change, now, keys);
    }
    change.insert(sheet.site);
    change.insert(sheet.nest);
    change.insert(sheet.call);
}

}  // namespace

CallTally import_calls(book::Book& book, intake::CallBatch batch, Instant now, KeyMaker& keys,
                       const ImportOptions& options)
{
    if (options.snapper != nullptr) {
        refuse_off_road(batch, *options.snapper);
    }
    CallTally tally;
    tally.refused = std::move(batch.refused);
    if (options.all_or_none && !tally.refused.empty()) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("{} rows cannot be taken, so none was; the first: {}",
                                  tally.refused.size(), tally.refused.front().text()),
                      batch.file};
    }
    book::Change change{book, now, batch.rows.size() > 5000 ? book::Load::Many : book::Load::Few};
    ClientList clients;
    for (const auto& row : batch.rows) {
        if (!row.sheet.call.source_key.empty() &&
            book.call_by_source_key(row.sheet.call.source_key)) {
            ++tally.known;
            continue;
        }
        book::Part part{change};
        try {
            write_row(row, change, clients, now, keys);
        } catch (const Failure& failure) {
            // A rule of the book refuses this row alone; a full disk or a lock refuses them all.
            if (failure.error().code != ErrorCode::RuleBroken || options.all_or_none) {
                throw;
            }
            clients.forget_new();
            tally.refused.push_back({row.row, "", failure.what(), "mend the row and import again"});
            continue;
        }
        part.keep();
        clients.keep_new();
        ++tally.added;
        for (const auto& flag : row.flags) {
            tally.flags.push_back(fmt::format("row {}: {}", row.row, flag));
        }
    }
    change.commit();
    return tally;
}

}  // namespace nestround::app
