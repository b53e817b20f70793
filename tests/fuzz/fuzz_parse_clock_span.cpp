// Property: whatever the bytes, the answer is a refusal that says something, or a span within 0 and
// 48 h that does not close before it opens and is the same when written and read again.
#include "geocore/base/calendar.hpp"
#include "tests/fuzz/property.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    using namespace nestround;
    const auto text = fuzz::as_text(data, size);
    const auto span = parse_clock_span(text);
    if (!span) {
        fuzz::must(!span.error().message.empty(), "a refusal says why", text);
        return 0;
    }
    fuzz::must(span->opens <= span->closes, "opens before it closes", text);
    fuzz::must(span->opens >= ClockTime{} && span->closes <= ClockTime::at(48, 0),
               "within 0 and 48 h", text);
    const auto again = parse_clock_span(format_clock_span(*span));
    fuzz::must(again && *again == *span, "written and read again is the same", text);
    return 0;
}
