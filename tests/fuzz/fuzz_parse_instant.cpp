// Property: whatever the bytes, the answer is a refusal that says something, or a moment of the
// years 1 to 9999 that is the same when written and read again.
#include "geocore/base/calendar.hpp"
#include "tests/fuzz/property.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    using namespace nestround;
    const auto text = fuzz::as_text(data, size);
    const auto instant = parse_instant(text);
    if (!instant) {
        fuzz::must(!instant.error().message.empty(), "a refusal says why", text);
        return 0;
    }
    const int year = year_of(std::chrono::floor<std::chrono::days>(*instant));
    fuzz::must(year >= 1 && year <= 9999, "year within 1 and 9999", text);
    const std::string written = format_instant(*instant);
    fuzz::must(written.size() == 24, "written form has 24 characters", text);
    const auto again = parse_instant(written);
    fuzz::must(again && *again == *instant, "written and read again is the same", text);
    return 0;
}
