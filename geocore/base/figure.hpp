/// \file figure.hpp
/// \brief A published, remembered or assumed number as a row of a table, with its source and mark.
///
/// Purpose:  no biological or safety figure stands bare in code; each is a row that says where it
///           comes from and how far it may be trusted, and tables of such rows are compiled in.
/// Units:    each row names its own; a `date` row holds days of a northern year, 1 = 1 January.
/// Range:    low <= typical <= high where given; a row has numbers or words, or both.
/// Accuracy: as the mark says; what is not known is a wide row.
/// Errors:   parsing gives InvalidInput with the line and the column at fault; a row without source
///           or mark, or with a source that is not in the list of sources, is refused.
/// Source:   own; comma-separated text with quotes as in RFC 4180.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"

namespace nestround {

/// How far a figure may be trusted, best first.
enum class Mark {
    Published,   ///< read in the source's own text
    Secondhand,  ///< read where somebody relays it
    Derived,     ///< arithmetic on read figures
    Memory,      ///< recalled, not read
    Practice,    ///< common trade practice, no source
    Assumption,  ///< a choice of ours
};

[[nodiscard]] std::string_view text(Mark mark);  ///< "published", ...
[[nodiscard]] std::optional<Mark> mark(std::string_view text);

struct Figure {
    std::string subject;    ///< what it is about: a taxon code, a group, a piece of gear
    std::string parameter;  ///< "workers.peak", "calendar.founding", ...
    std::optional<double> low;
    std::optional<double> typical;
    std::optional<double> high;
    std::string words;  ///< for figures that are no number
    std::string unit;
    std::optional<double> latitude;  ///< dates: where they were seen, degrees from the equator
    std::string condition;           ///< region, season, method
    std::string source;              ///< key of the table of sources
    Mark mark = Mark::Assumption;
    std::string file;  ///< it was read from
    int line = 0;      ///< of that file

    /// typical, else the middle of low and high, else whichever is given; 0 for words alone.
    [[nodiscard]] double middle() const;
    [[nodiscard]] double lowest() const;   ///< low, else middle
    [[nodiscard]] double highest() const;  ///< high, else middle
};

/// A work that figures rest on.
struct SourceEntry {
    std::string key;
    std::string citation;
};

/// "key,citation" with a header line.
[[nodiscard]] Result<std::vector<SourceEntry>> parse_sources(std::string_view csv,
                                                             std::string_view file = "sources");

/// The columns subject,parameter,low,typical,high,words,unit,latitude,condition,source,mark with a
/// header line. Lines that begin with # are notes. `file` is named in messages.
[[nodiscard]] Result<std::vector<Figure>> parse_figures(std::string_view csv,
                                                        const std::vector<SourceEntry>& sources,
                                                        std::string_view file = "figures");

}  // namespace nestround
