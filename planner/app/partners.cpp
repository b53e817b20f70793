#include "planner/app/partners.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "geocore/base/error.hpp"
#include "geocore/base/sha256.hpp"
#include "planner/partners/pairing.hpp"
#include "planner/partners/row_key.hpp"

namespace nestround::app {

namespace {

constexpr std::size_t kMostNamed = 5;

std::string part_of_place(LonLat place)
{
    return fmt::format("{:.7f} {:.7f}", place.lon.value(), place.lat.value());
}

/// What was sent, without where it stood in the file.
std::string sent_text(const PartnerNest& row)
{
    const auto number = [](const auto& value) { return value ? fmt::format("{}", *value) : ""; };
    return fmt::format("{}|{}|{}|{}|{}|{}|{}|{}", part_of_place(row.place), text(row.form),
                       row.uncertainty ? fmt::format("{}", row.uncertainty->value()) : "",
                       row.taxon_as_sent, row.first ? format_day(*row.first) : "",
                       row.last ? format_day(*row.last) : "", number(row.season),
                       number(row.count));
}

/// Gives rows their keys: by the sender's own, else by what they say and how often it was said.
class RowKeys {
public:
    explicit RowKeys(std::string partner) : partner_{std::move(partner)} {}

    PartnerNestId key_of(const PartnerNest& row)
    {
        if (!row.source_key.empty()) {
            return PartnerNestId{
                partners::key_of(std::vector<std::string>{"row", partner_, row.source_key})};
        }
        const auto said = sent_text(row);
        return PartnerNestId{partners::key_of(std::vector<std::string>{
            "row without key", partner_, said, fmt::format("{}", ++times_[said])})};
    }

private:
    std::string partner_;
    std::map<std::string, int> times_;
};

/// Reads the names once each and keeps what there is to say of them.
class Names {
public:
    explicit Names(const nature::TaxaTable& table) : table_{table} {}

    void read(PartnerNest& row)
    {
        auto [at, is_new] = read_.try_emplace(row.taxon_as_sent);
        if (is_new) {
            at->second = partners::read_name(table_, row.taxon_as_sent);
        }
        const auto& name = at->second;
        row.taxon = name.code;
        if (!name.note.empty()) {
            row.note += (row.note.empty() ? "" : "; ") + name.note;
            ++noted_[name.note];
        }
    }
    void tell(std::vector<std::string>& notes) const
    {
        std::size_t told = 0;
        for (const auto& [words, rows] : noted_) {
            if (++told > kMostNamed) {
                notes.push_back(
                    fmt::format("and {} more names of wasps", noted_.size() - kMostNamed));
                return;
            }
            notes.push_back(fmt::format("{} ({} row{})", words, rows, rows == 1 ? "" : "s"));
        }
    }

private:
    const nature::TaxaTable& table_;
    std::map<std::string, partners::SentName> read_;
    std::map<std::string, std::size_t> noted_;
};

void write_row(book::Book& book, book::Change& change, PartnerNest row, PartnerTally& tally)
{
    const auto stands = book.partner_nest(row.id);
    if (!stands) {
        change.insert(row);
        ++tally.added;
        return;
    }
    if (sent_text(*stands) == sent_text(row)) {
        ++tally.same;
        return;
    }
    if (stands->decision != PartnerDecision::Open) {
        tally.differ.push_back(fmt::format("row {} ({})", row.row, book::short_key(row.id.uuid())));
        return;
    }
    change.update(row);
    ++tally.changed;
}

/// Rows with a key of this layer's earlier files that this one has no more.
std::size_t missing_rows(const book::Book& book, const PartnerImport& import,
                         const std::set<PartnerNestId>& here)
{
    std::set<PartnerImportId> earlier;
    for (const auto& one : book.partner_imports()) {
        if (one.partner == import.partner && one.layer == import.layer) {
            earlier.insert(one.id);
        }
    }
    const auto rows = book.partner_nests(import.partner);
    return static_cast<std::size_t>(std::count_if(rows.begin(), rows.end(), [&](const auto& row) {
        return !row.source_key.empty() && earlier.contains(row.import) && !here.contains(row.id);
    }));
}

void check_partner_name(const std::string& partner)
{
    const bool control = std::any_of(partner.begin(), partner.end(),
                                     [](char c) { return static_cast<unsigned char>(c) < ' '; });
    if (partner.empty() || partner.size() > 80 || control) {
        throw Failure{ErrorCode::BadUsage, "names the partner in 1 to 80 characters, as county",
                      "--from"};
    }
}

struct Ours {
    std::vector<NestId> ids;
    std::vector<partners::OwnNest> nests;
};

/// Our nests around all open rows.
Ours nests_around(const book::Book& book, const std::vector<PartnerNest>& rows)
{
    constexpr double kMargin = 0.1;  // degrees; more than the ground that is counted for density
    constexpr double kMetresADegree = 111'000;
    constexpr double kWidest = 60;  // beyond it, longitudes crowd together
    Ours out;
    if (rows.empty()) {
        return out;
    }
    book::NestFilter::Window window{180, 90, -180, -90};
    for (const auto& row : rows) {
        const double reach =
            kMargin + (row.uncertainty ? 2 * row.uncertainty->value() / kMetresADegree : 0);
        const double wide = std::abs(row.place.lat.value()) > kWidest ? 180 : 2 * reach;
        window.west = std::min(window.west, row.place.lon.value() - wide);
        window.east = std::max(window.east, row.place.lon.value() + wide);
        window.south = std::min(window.south, row.place.lat.value() - reach);
        window.north = std::max(window.north, row.place.lat.value() + reach);
    }
    book::NestFilter filter;
    if (window.west >= -180 && window.east <= 180) {
        filter.window = window;
    }
    for (const auto number : book.nest_numbers(filter)) {
        const auto row = book.nest_row(number);
        if (!row) {
            continue;
        }
        partners::OwnNest nest;
        nest.place = row->place;
        nest.uncertainty = row->place_uncertainty;
        nest.taxon = row->nest.taxon;
        nest.season = row->nest.season;
        nest.gone = row->closed;
        out.ids.push_back(row->nest.id);
        out.nests.push_back(std::move(nest));
    }
    return out;
}

partners::SentNest sent_of(const PartnerNest& row, const nature::TaxaTable& table)
{
    partners::SentNest sent;
    sent.place = row.place;
    sent.form = row.form;
    sent.uncertainty = row.uncertainty;
    sent.name = partners::read_name(table, row.taxon_as_sent);
    sent.first = row.first;
    sent.last = row.last;
    sent.season = row.season;
    return sent;
}

/// The rows of one partner against all of ours, each of ours once.
void pair_up(const std::vector<PartnerNest>& rows, const std::string& partner, const Ours& ours,
             const std::set<NestId>& taken, const partners::Neighbours& around, double least,
             const nature::TaxaTable& table, PartnerMatches& out)
{
    std::vector<std::vector<partners::Candidate>> found;
    std::vector<partners::Pair> pairs;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        auto candidates = around.candidates(sent_of(rows[i], table));
        std::erase_if(candidates,
                      [&](const auto& one) { return taken.contains(ours.ids[one.own]); });
        for (const auto& one : candidates) {
            pairs.push_back({i, one.own, one.evidence.weight()});
        }
        found.push_back(std::move(candidates));
    }
    const auto pairing = partners::pair_all(rows.size(), ours.ids.size(), pairs);
    const auto& made = pairing.column;
    out.known[partner] = pairing.known;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        ++out.open;
        if (!made[i]) {
            ++out.unpaired;
            continue;
        }
        const auto best = std::find_if(found[i].begin(), found[i].end(),
                                       [&](const auto& one) { return one.own == *made[i]; });
        if (pairing.chance[i] < least) {
            ++out.below;
            continue;
        }
        PartnerMatch match;
        match.sent = rows[i];
        match.partner = partner;
        match.nest = ours.ids[*made[i]];
        match.evidence = best->evidence;
        match.chance = pairing.chance[i];
        match.rivals = found[i].size() - 1;
        out.likely.push_back(std::move(match));
    }
}

}  // namespace

PartnerTally import_partner(book::Book& book, intake::PartnerBatch batch,
                            const std::string& partner, const std::string& how, Day on, Instant now,
                            const nature::TaxaTable& table)
{
    check_partner_name(partner);
    PartnerTally tally;
    tally.refused = std::move(batch.refused);
    tally.notes = std::move(batch.notes);
    PartnerImport import;
    // What was taken is part of the key: rows that were refused for their day, say, can come later.
    import.id = PartnerImportId{partners::key_of(
        std::vector<std::string>{"file", partner, batch.sha256, batch.layer, how,
                                 fmt::format("{} {}", batch.rows.size(), tally.refused.size())})};
    if (auto before = book.partner_import(import.id)) {
        tally.before = std::move(before);
        return tally;
    }
    import.partner = partner;
    import.file = batch.file;
    import.sha256 = batch.sha256;
    import.layer = batch.layer;
    import.crs = batch.crs;
    import.read_on = on;
    import.rows_read = static_cast<int>(batch.rows.size());
    import.rows_refused = static_cast<int>(tally.refused.size());
    book::Change change{book, now, batch.rows.size() > 5000 ? book::Load::Many : book::Load::Few};
    change.insert(import);
    RowKeys keys{partner};
    Names names{table};
    std::set<PartnerNestId> here;
    for (auto& row : batch.rows) {
        row.id = keys.key_of(row);
        row.import = import.id;
        tally.without_key += row.source_key.empty() ? 1 : 0;
        names.read(row);
        here.insert(row.id);
        write_row(book, change, row, tally);
    }
    tally.missing = missing_rows(book, import, here);
    change.commit();
    names.tell(tally.notes);
    return tally;
}

PartnerMatches partner_matches(const book::Book& book, const std::string& partner, double least,
                               const nature::TaxaTable& table)
{
    std::map<PartnerImportId, std::string> partner_of;
    for (const auto& import : book.partner_imports()) {
        partner_of[import.id] = import.partner;
    }
    std::map<std::string, std::vector<PartnerNest>> open;
    std::map<std::string, std::set<NestId>> taken;
    std::vector<PartnerNest> all;
    std::vector<PartnerCount> counts;
    for (auto& row : book.partner_nests(partner)) {
        const auto& from = partner_of[row.import];
        if (row.nest) {
            taken[from].insert(*row.nest);
        }
        if (row.decision != PartnerDecision::Open) {
            continue;
        }
        all.push_back(row);
        if (row.count.value_or(1) > 1) {
            counts.push_back({row, from, 0});
        } else {
            open[from].push_back(row);
        }
    }
    const auto ours = nests_around(book, all);
    const partners::Neighbours around{ours.nests, table};
    PartnerMatches out;
    for (const auto& [from, rows] : open) {
        pair_up(rows, from, ours, taken[from], around, least, table, out);
    }
    std::stable_sort(out.likely.begin(), out.likely.end(),
                     [](const auto& a, const auto& b) { return a.chance > b.chance; });
    for (auto& match : out.likely) {
        match.nest_key = book::short_key(match.nest.uuid());
        if (const auto nest = book.nest(match.nest)) {
            const auto site = book.site(nest->site);
            match.label = site ? site->label : "";
        }
    }
    for (auto& count : counts) {
        count.ours = around.count_in(sent_of(count.sent, table));
    }
    out.counts = std::move(counts);
    return out;
}

PartnerNest find_partner_nest(const book::Book& book, std::string_view key)
{
    std::string wanted;
    for (const char c : key) {
        wanted.push_back(c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c);
    }
    const auto found = book.ids_ending("partner_nest", wanted);
    if (found.size() == 1) {
        return *book.partner_nest(PartnerNestId{found.front()});
    }
    std::vector<PartnerNest> by_sender;
    for (auto& row : book.partner_nests()) {
        if (row.source_key == key) {
            by_sender.push_back(std::move(row));
        }
    }
    if (by_sender.size() == 1) {
        return by_sender.front();
    }
    const bool several = found.size() > 1 || by_sender.size() > 1;
    throw Failure{several ? ErrorCode::InvalidInput : ErrorCode::NotFound,
                  several ? fmt::format("several rows are named '{}'; write more of the key", key)
                          : fmt::format("no row of a partner is named '{}'; 'nestround partner "
                                        "list BOOK --rows' shows the keys",
                                        key),
                  book.path().string()};
}

NestId find_nest(const book::Book& book, std::string_view key)
{
    const auto found = book.ids_ending("nest", key);
    if (found.size() == 1) {
        return NestId{found.front()};
    }
    return book.call(book.find_call(key))->nest.id;
}

PartnerNest decide(book::Book& book, PartnerNest row, PartnerDecision decision,
                   std::optional<NestId> nest, const std::string& who, Instant now)
{
    if (nest) {
        if (row.count.value_or(1) > 1) {
            throw Failure{ErrorCode::RuleBroken,
                          fmt::format("it stands for {} nests and cannot be one of ours; accept it "
                                      "without --as",
                                      *row.count),
                          "row " + book::short_key(row.id.uuid())};
        }
        const auto import = book.partner_import(row.import);
        for (const auto& other : book.partner_nests(import ? import->partner : std::string{})) {
            if (other.nest == nest && other.id != row.id) {
                throw Failure{ErrorCode::RuleBroken,
                              fmt::format("row {} of the same partner is that nest already; reopen "
                                          "it first",
                                          book::short_key(other.id.uuid())),
                              "nest " + book::short_key(nest->uuid())};
            }
        }
    }
    row.decision = decision;
    row.nest = nest;
    row.decided_by = decision == PartnerDecision::Open ? std::string{} : who;
    row.decided_at = decision == PartnerDecision::Open ? std::nullopt : std::optional{now};
    book::Change change{book, now};
    change.update(row);
    change.commit();
    return row;
}

}  // namespace nestround::app
