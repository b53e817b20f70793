// Property: whatever the bytes, the answer is a refusal that says something, or an identifier whose
// text is the text read, in lower case.
#include <algorithm>
#include <cctype>
#include <string>

#include "geocore/base/identifier.hpp"
#include "tests/fuzz/property.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    using namespace nestround;
    const auto text = fuzz::as_text(data, size);
    const auto uuid = Uuid::parse(text);
    if (!uuid) {
        fuzz::must(!uuid.error().message.empty(), "a refusal says why", text);
        return 0;
    }
    std::string lower{text};
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    fuzz::must(uuid->text() == lower, "its text is the text read, in lower case", text);
    const auto again = Uuid::parse(uuid->text());
    fuzz::must(again && *again == *uuid, "written and read again is the same", text);
    return 0;
}
