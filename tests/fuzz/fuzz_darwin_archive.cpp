// Property: whatever the bytes, an archive's meta.xml and its table give a refusal of one line or
// rows of as many cells as there are columns. The text stands behind the first line that is only
// "---".
#include "geocore/intake/darwin_archive.hpp"

#include "geocore/base/error.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "tests/fuzz/property.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    using namespace nestround;
    const auto input = fuzz::as_text(data, size);
    const auto cut = input.find("\n---\n");
    const auto text = cut == std::string_view::npos ? std::string_view{} : input.substr(cut + 5);
    try {
        const auto meta = intake::read_archive_meta(input.substr(0, cut), "a.zip");
        const auto grid = intake::archive_grid(text, meta, "a.zip");
        for (const auto& row : grid.rows) {
            fuzz::must(row.cells.size() == grid.header.size(), "a cell a column", input);
        }
    } catch (const Failure& failure) {
        fuzz::must(failure.error().text().find('\n') == std::string::npos, "one line", input);
    }
    if (const auto span = intake::day_span(text)) {
        fuzz::must(span->first <= span->last, "days run forwards", input);
    }
    return 0;
}
