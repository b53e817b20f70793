// Property: whatever the bytes, the answer is a refusal that says something, or a day whose written
// form is the very text read.
#include "geocore/base/calendar.hpp"
#include "tests/fuzz/property.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    using namespace nestround;
    const auto text = fuzz::as_text(data, size);
    const auto day = parse_day(text);
    if (!day) {
        fuzz::must(!day.error().message.empty(), "a refusal says why", text);
        return 0;
    }
    fuzz::must(format_day(*day) == text, "one day has one form", text);
    const int in_year = day_of_year(*day);
    fuzz::must(in_year >= 1 && in_year <= 366, "day of the year within 1 and 366", text);
    return 0;
}
